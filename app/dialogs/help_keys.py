"""Everything that a key does: the window's actions as they are, and what the keys do in each part of the window."""

from __future__ import annotations

from html import escape

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import QDialog, QDialogButtonBox, QMainWindow, QMenu, QTextBrowser, QVBoxLayout

from app.dialogs.sizes import open_at
from app.theme import palette
from app.words import tr

Rows = list[tuple[str, str]]
# What the parts of the window do with keys that are no action of a menu: part -> (keys, what they do).
PARTS: tuple[tuple[str, tuple[tuple[str, str], ...]], ...] = (
    (
        "Everywhere",
        (
            ("Tab, Shift+Tab", "To the next field and back"),
            ("F6, Shift+F6", "To the next part of the window and back"),
            ("Alt and the underlined letter", "Opens the menu; then arrow keys and Enter"),
            ("Shift+F1", "What is this? Tells of the field or figure that has the keys"),
            ("Escape", "Closes a dialog without doing anything"),
        ),
    ),
    (
        "In the settings",
        (
            ("Enter", "Takes over what was typed"),
            ("Space", "Folds a group, opens a list of rows"),
            ("Arrow keys", "Choose among words"),
        ),
    ),
    (
        "In the view",
        (
            ("Arrow keys", "Turn the view"),
            ("Shift and arrow keys", "Shift the view"),
            ("+ and −", "Come nearer, go away"),
            ("Home", "Shows the whole stand"),
            ("Page Down, Page Up", "Lights the next part, the one before"),
            ("Escape", "Lets go of the lit part"),
        ),
    ),
    (
        "With grips on the view",
        (
            ("Tab, Shift+Tab", "To the next grip and back, then on"),
            ("Arrow keys", "Move the chosen grip by one step of the rule"),
            ("Enter", "Types its values"),
            ("Insert, Delete", "One more, one less, where there may be"),
            ("Escape", "Takes the movement back, lets go"),
        ),
    ),
    ("At the height", (("Up and Down", "By one step"), ("Page Up, Page Down", "By ten steps"))),
    ("In the cut plan", (("Arrow keys", "Light the next piece, the one before"),)),
    (
        "In lists and tables",
        (
            ("Arrow keys", "From row to row"),
            ("Enter", "Goes to what a finding speaks of"),
            ("F2", "Edits a cell; Tab leaves the table"),
        ),
    ),
    ("Among the figures", (("Space or Enter", "Opens the working of the figure"),)),
)


def action_rows(window: QMainWindow) -> list[tuple[str, Rows]]:
    """Return menu -> (action, its keys or the way to it by letters) as the window has them now."""
    found = []
    for top in window.menuBar().actions():
        menu = top.menu()
        if isinstance(menu, QMenu):
            found.append((_plain(top.text()), list(_rows(menu, _letter(top.text())))))
    return found


def _rows(menu: QMenu, way: str) -> Rows:
    rows: Rows = []
    for action in menu.actions():
        if action.isSeparator() or not action.text():
            continue
        letter = _letter(action.text())
        by_letters = f"{way}, {letter}" if letter else way
        inner = action.menu()
        if isinstance(inner, QMenu):
            rows.append((_plain(action.text()), by_letters))
        else:
            rows.append((_plain(action.text()), keys_of(action) or by_letters))
    return rows


def keys_of(action: QAction) -> str:
    """Return an action's keys as this system writes them."""
    return tr(" or ").join(k.toString(QKeySequence.SequenceFormat.NativeText) for k in action.shortcuts())


def _plain(text: str) -> str:
    return text.replace("&", "").removesuffix("…").strip()


def _letter(text: str) -> str:
    at = text.find("&")
    return text[at + 1].upper() if 0 <= at < len(text) - 1 else ""


def keys_html(window: QMainWindow) -> str:
    """Return the page."""
    soft = palette().soft
    parts = [f"<p>{escape(tr('Where no keys are given, Alt and the letters lead through the menu.'))}</p>"]

    def table(title: str, rows: Rows) -> None:
        lines = "".join(
            f"<tr><td width='280'>{escape(what)}</td><td style='color:{soft}'>{escape(keys)}</td></tr>" for what, keys in rows
        )
        parts.append(f"<h3>{escape(title)}</h3><table cellpadding='3' cellspacing='0'>{lines}</table>")

    for title, rows in action_rows(window):
        table(title, [(what, keys if "+" in keys or "," not in keys else f"Alt {keys}") for what, keys in rows])
    for title, pairs in PARTS:
        table(tr(title), [(tr(what), tr(keys)) for keys, what in pairs])
    return "".join(parts)


class KeysDialog(QDialog):
    """Shows the page; stays open beside the window."""

    def __init__(self, window: QMainWindow) -> None:
        super().__init__(window)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle(tr("Keys"))
        open_at(self, 620, 700)
        self.text = QTextBrowser()
        self.text.setAccessibleName(tr("Keys"))
        self.text.setHtml(keys_html(window))
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close)
        buttons.rejected.connect(self.reject)
        page = QVBoxLayout(self)
        page.setContentsMargins(16, 14, 16, 14)
        page.addWidget(self.text, 1)
        page.addWidget(buttons)

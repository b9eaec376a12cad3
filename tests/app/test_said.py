"""In another language nothing of the window stays English: every text a widget shows has been said."""

from __future__ import annotations

import re

import pytest
from PySide6.QtCore import QLocale
from PySide6.QtGui import QAction
from PySide6.QtWidgets import (
    QAbstractButton,
    QComboBox,
    QGraphicsTextItem,
    QGraphicsView,
    QGroupBox,
    QHeaderView,
    QLabel,
    QLineEdit,
    QMenu,
    QTableWidget,
    QTabWidget,
    QWidget,
)

from app.panels.modes import ModesPanel
from framecore.words import speak
from framecore.words.language import language
from tests.app.test_access import dialogs


@pytest.fixture(autouse=True)
def german():
    before = QLocale()
    QLocale.setDefault(QLocale("de"))
    speak("de")
    yield
    speak("en")
    QLocale.setDefault(before)


def texts(root: QWidget):
    """Yield what the widgets below ``root`` show in words, and what they say of themselves."""
    for w in [root, *root.findChildren(QWidget)]:
        yield from (w.windowTitle(), w.toolTip(), w.accessibleName(), w.accessibleDescription())
        if isinstance(w, QLabel | QAbstractButton):
            yield w.text()
        elif isinstance(w, QGroupBox | QMenu):
            yield w.title()
        elif isinstance(w, QLineEdit):
            yield w.placeholderText()
        elif isinstance(w, QTabWidget):
            yield from (w.tabText(i) for i in range(w.count()))
        elif isinstance(w, QTableWidget):
            yield from (w.horizontalHeaderItem(c).text() for c in range(w.columnCount()) if w.horizontalHeaderItem(c))
        elif isinstance(w, QComboBox) and not isinstance(w, QHeaderView):
            yield from (w.itemText(i) for i in range(min(w.count(), 20)))
        elif isinstance(w, QGraphicsView) and w.scene():
            yield from (i.toPlainText() for i in w.scene().items() if isinstance(i, QGraphicsTextItem))
    for action in root.findChildren(QAction):
        yield from (action.text(), action.toolTip())


# Words that no German sentence has; and decimals with a point, but for what is called by its number.
ENGLISH = re.compile(
    r"\b(?:the|of|and|with|is|are|be|for|from|to|not|near|what|would|which|each|by|left|right|front|back|speed|no)\b",
    re.IGNORECASE,
)
POINT = re.compile(r"(?<![\w.,])\d+\.\d+(?![\w.])")


def left_english(root: QWidget) -> list[str]:
    """Return the texts that would read otherwise if they were said, and those that nobody could say."""
    spoken = language("de")
    # What reads alike in both, the sample's own words, and the toolkit's buttons, which have its own translation.
    mine = {*spoken.texts.values(), "Stay here", "Close", "Cancel", "OK", "Scroll Left", "Scroll Right"}
    own = ("Stand for a bench lathe", "Bench lathe, 700 between centres", *written_by_hand(root))
    found = set()
    for t in texts(root):
        if t in mine:
            continue
        bare = _without(t, own)
        if _plain(spoken.say(t)) != _plain(t) or ENGLISH.search(bare) or POINT.search(bare):
            found.add(t)
    return sorted(found)


def written_by_hand(root: QWidget) -> list[str]:
    """Return file names and what stands in fields that the maker fills."""
    return [w.text() for w in root.findChildren(QLineEdit) if w.text()]


def _without(text: str, names) -> str:
    """Leave out the sample's own words, keys as they are typed, classes of bolts, and marks of the markup."""
    for name in names:
        text = text.replace(name, "")
    return re.sub(r"<[^>]*>|Klasse \d+\.\d|\b[a-z_]+\.[a-z_.]+\b|Tabelle \d+\.\d+", " ", text)


def _plain(text: str) -> str:
    """Leave out what the system's decimal sign decides."""
    return text.replace(",", ".")


def test_the_window_speaks(qtbot, window):
    window.show_modes(True)
    panel = window.findChild(ModesPanel)
    qtbot.waitUntil(lambda: "<li>" in panel.moves.text(), timeout=60_000)
    left = left_english(window)
    assert not left, "\n".join(left)


def test_every_dialog_speaks(qtbot, window):
    wrong = {}
    for dialog in dialogs(window):
        dialog.show()
        if found := left_english(dialog):
            wrong[type(dialog).__name__] = found
        dialog.close()
    assert not wrong, "\n".join(f"{k}: {v}" for k, v in wrong.items())

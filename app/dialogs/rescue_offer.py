"""Offers work that a window left when it did not close cleanly; nothing happens by itself."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QDialog,
    QFrame,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from app.dialogs.modal import ask
from app.dialogs.rescue_differences import DifferencesDialog
from app.document.disk import clock, state_of
from app.words import tr

if TYPE_CHECKING:
    from app.document.rescue import Leftover

MOST_SHOWN = 4  # rows before the list scrolls


def text_of(path: Path | None) -> str | None:
    """Return the text of a file, None when it is not there."""
    try:
        return None if path is None else path.read_text("utf-8", errors="replace")
    except (OSError, ValueError):
        return None


def _button(text: str, name: str) -> QPushButton:
    button = QPushButton(tr(text))
    button.setAutoDefault(False)
    button.setAccessibleName(f"{tr(text)}: {name}")
    return button


class KeptRow(QFrame):
    """One piece of kept work and what may become of it."""

    def __init__(self, left: Leftover, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.left = left
        self.thrown = False
        kept = left.kept
        self.head = QLabel(tr(f"Work on {kept.name} from {clock(kept.when)} was kept."))
        self.head.setObjectName("heading")
        self.head.setTextFormat(Qt.TextFormat.PlainText)
        self.head.setWordWrap(True)
        self.detail = QLabel(tr(self._detail()))
        self.detail.setObjectName("unit")
        self.detail.setTextFormat(Qt.TextFormat.PlainText)
        self.detail.setWordWrap(True)
        self.open = _button("Open it", kept.name)
        self.look = _button("Look at the differences" if kept.path else "Look at it", kept.name)
        self.throw = _button("Throw it away", kept.name)
        self.look.clicked.connect(self._look)
        self.throw.clicked.connect(self._throw)
        row = QHBoxLayout()
        for button in (self.open, self.look, self.throw):
            row.addWidget(button)
        row.addStretch(1)
        page = QVBoxLayout(self)
        page.setContentsMargins(0, 8, 0, 10)
        page.addWidget(self.head)
        page.addWidget(self.detail)
        page.addLayout(row)

    def _detail(self) -> str:
        kept = self.left.kept
        if kept.path is None:
            return "It was never saved to a file."
        where = str(kept.path.parent)
        state = state_of(kept.path)
        if state is None:
            return f"{where}  ·  the file itself is not there any more"
        if state != kept.opened:
            return f"{where}  ·  the file itself was written at {clock(state.when)}"
        return f"{where}  ·  the file itself is as it was when it was opened"

    def _look(self) -> None:
        kept = self.left.kept
        called = (f"the file {kept.name}" if kept.path else "", f"the kept work from {clock(kept.when)}")
        ask(DifferencesDialog(text_of(kept.path), kept.source().text(), called, self.window()))

    def _throw(self) -> None:
        """Thrown away when the question is closed; until then it can be taken back."""
        self.thrown = not self.thrown
        self.throw.setText(tr("Keep it after all" if self.thrown else "Throw it away"))
        self.open.setEnabled(not self.thrown)
        self.head.setEnabled(not self.thrown)
        at = clock(self.left.kept.when)
        name = self.left.kept.name
        self.head.setText(
            tr(f"Work on {name} from {at} will be thrown away." if self.thrown else f"Work on {name} from {at} was kept.")
        )


class OfferDialog(QDialog):
    """Lists kept work. ``chosen`` is what the maker opens, None when nothing; ``thrown`` what is thrown away."""

    def __init__(self, found: Sequence[Leftover], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle(tr("Kept work"))
        self.chosen: Leftover | None = None
        head = QLabel(tr("Standwright did not close cleanly."))
        head.setObjectName("heading")
        self.rows = [KeptRow(left) for left in found]
        inner = QWidget()
        column = QVBoxLayout(inner)
        column.setContentsMargins(0, 0, 12, 0)
        column.setSpacing(0)
        for row in self.rows:
            row.open.clicked.connect(lambda _=False, r=row: self._open(r))
            column.addWidget(row)
        column.addStretch(1)
        scroll = QScrollArea()
        scroll.setWidgetResizable(True)
        scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        scroll.setWidget(inner)
        scroll.setMinimumHeight(min(len(self.rows), MOST_SHOWN) * self.rows[0].sizeHint().height() if self.rows else 0)
        note = QLabel(tr("What you neither open nor throw away stays kept and is offered at the next start."))
        note.setObjectName("unit")
        note.setWordWrap(True)
        later = QPushButton(tr("Decide later"))
        later.clicked.connect(self.reject)
        foot = QHBoxLayout()
        foot.addWidget(note, 1)
        foot.addWidget(later)
        page = QVBoxLayout(self)
        page.setContentsMargins(20, 16, 20, 16)
        page.addWidget(head)
        page.addWidget(scroll, 1)
        page.addLayout(foot)
        self.resize(640, self.sizeHint().height())
        if self.rows:
            self.rows[0].open.setDefault(True)
            self.rows[0].open.setFocus()

    @property
    def thrown(self) -> list[Leftover]:
        """What is to be thrown away."""
        return [row.left for row in self.rows if row.thrown]

    def _open(self, row: KeptRow) -> None:
        self.chosen = row.left
        self.accept()


def ask_kept(parent: QWidget | None, found: Sequence[Leftover]) -> tuple[Leftover | None, list[Leftover]]:
    """Return what the maker opens and what is thrown away."""
    dialog = OfferDialog(found, parent)
    ask(dialog)
    return dialog.chosen, dialog.thrown

"""The sheets of the stand, seen before they are saved."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtWidgets import (
    QComboBox,
    QDialog,
    QFileDialog,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from app.dialogs.sizes import open_at
from app.document.disk import one_stroke
from app.live.late import Late
from app.sheetview.view import STEP, PageView
from app.words import offer, tr

if TYPE_CHECKING:
    from app.document import Document
    from framecore.sheets.drawing.model import Sheet
    from framecore.stand.model import Stand

PAPERS = ("A3", "A4", "Letter", "Tabloid")
PROJECTIONS = ("first angle", "third angle")
AskPath = Callable[[QWidget, str, str, str], str]


def ask_path(parent: QWidget, title: str, name: str, pattern: str) -> str:
    """Ask the maker where to save; "" when cancelled."""
    return QFileDialog.getSaveFileName(parent, title, name, pattern)[0]


class SheetDialog(QDialog):
    """Pages of the drawing with paper and projection to choose; the choice is part of the brief."""

    def __init__(self, document: Document, parent: QWidget | None = None, ask: AskPath = ask_path) -> None:
        super().__init__(parent)
        self.setWindowTitle(tr("Sheets"))
        open_at(self, 1180, 860)
        self._document = document
        self._ask = ask
        self.sheets: tuple[Sheet, ...] = ()
        self._stand: Stand | None = None
        self._drawing = Late(self, _compose)
        self._drawing.ready.connect(self._drawn)
        self._drawing.fault.connect(self._fault)
        self.page = PageView()
        self.pages = QComboBox()
        self.pages.setMinimumWidth(200)
        self.pages.setAccessibleName(tr("Page"))
        self.paper, self.projection = QComboBox(), QComboBox()
        self.paper.setAccessibleName(tr("Paper"))
        self.projection.setAccessibleName(tr("Projection"))
        self.paper.addItems(list(PAPERS))
        offer(self.projection, PROJECTIONS)
        self.pages.currentIndexChanged.connect(self._show)
        self.paper.textActivated.connect(lambda t: document.edit("sheet.paper", t, "paper"))
        self.projection.activated.connect(
            lambda i: document.edit("sheet.projection", self.projection.itemData(i), "projection")
        )
        self.told = QLabel()
        self.told.setWordWrap(True)
        head = QHBoxLayout()
        head.setSpacing(8)
        for text, widget in (("Page", self.pages), ("Paper", self.paper), ("Projection", self.projection)):
            head.addWidget(QLabel(tr(text)))
            head.addWidget(widget)
            head.addSpacing(10)
        head.addStretch(1)
        for text, action in (
            ("−", lambda: self.page.magnify(1 / STEP)),
            ("Whole page", self.page.fit),
            ("+", lambda: self.page.magnify(STEP)),
        ):
            button = QPushButton(tr(text))
            button.setAutoDefault(False)
            button.clicked.connect(action)
            head.addWidget(button)
        foot = QHBoxLayout()
        foot.addWidget(self.told, 1)
        self._saves: list[QPushButton] = []
        for kind, title in (
            ("pdf", "Save all as PDF …"),
            ("dxf", "Save page as DXF …"),
            ("svg", "Save page as SVG …"),
        ):
            button = QPushButton(tr(title))
            button.setAutoDefault(False)
            button.clicked.connect(lambda _=False, k=kind: self.save(k))
            foot.addWidget(button)
            self._saves.append(button)
        column = QVBoxLayout(self)
        column.setContentsMargins(14, 12, 14, 12)
        column.addLayout(head)
        column.addWidget(self.page, 1)
        column.addLayout(foot)

    def show_stand(self, stand: Stand) -> None:
        """Have the sheets of ``stand`` drawn, which takes a second or two, and show them then."""
        self._stand = stand
        self.paper.setCurrentText(stand.brief.sheet.paper)
        self.projection.setCurrentIndex(self.projection.findData(stand.brief.sheet.projection))
        self._wait(True)
        self._drawing.ask(stand)

    @property
    def waiting(self) -> bool:
        """Whether the sheets of the present stand are still being drawn; what is shown, if anything, is of one before."""
        return self._stand is not None

    def _wait(self, on: bool) -> None:
        self.told.setText(tr("The sheets are being drawn …") if on else "")
        for button in self._saves:
            button.setEnabled(not on)  # nothing is saved that is not of the present stand

    def _drawn(self, stand: Stand) -> None:
        """Show what was drawn; the page that was open stays open."""
        if stand is not self._stand:
            return  # the next is being drawn
        self._stand = None
        self.sheets, self._drawing.found = self._drawing.found, None
        at = max(self.pages.currentIndex(), 0)
        self.pages.blockSignals(True)
        self.pages.clear()
        self.pages.addItems([f"{i}  {tr(s.title)}" for i, s in enumerate(self.sheets, 1)])
        self.pages.setCurrentIndex(min(at, len(self.sheets) - 1))
        self.pages.blockSignals(False)
        self._wait(False)
        self._show(self.pages.currentIndex())

    def _fault(self, fault: Exception) -> None:
        raise fault  # shown where all faults are shown

    def _show(self, index: int) -> None:
        self.page.show_sheet(self.sheets[index] if 0 <= index < len(self.sheets) else None)

    def save(self, kind: str) -> None:
        """Ask where to, then write."""
        stem = self._document.path.stem if self._document.path else "stand"
        chosen = self._ask(self, tr("Save sheets"), f"{stem}.{kind}", f"{kind.upper()} (*.{kind})")
        if not chosen:
            return
        path = Path(chosen)
        try:
            write(kind, self.sheets, self.pages.currentIndex(), path)
        except OSError as error:
            self.told.setText(tr(f"{path.name} could not be written: {error.strerror or error}."))
        else:
            self.told.setText(tr(f"Saved {path}."))


def _compose(stand: Stand) -> tuple[Sheet, ...]:
    from framecore.sheets import compose

    return compose(stand)


def write(kind: str, sheets: tuple[Sheet, ...], page: int, path: Path) -> None:
    """Write all sheets as PDF, or one page as DXF or SVG; raises OSError, and the old file stays then."""
    from framecore import sheets as pens

    with one_stroke(path) as part:
        if kind == "pdf":
            pens.write_pdf(sheets, part)
        elif kind == "dxf":
            pens.write_dxf(sheets[page], part)
        else:
            pens.write_svg(sheets[page], part)

"""The dialog beside the window: a list of what can be compared with, and the side-by-side sheet."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import Qt, QTimer
from PySide6.QtWidgets import (
    QComboBox,
    QDialog,
    QFileDialog,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from app.dialogs.compare.others import FILE, REFERENCE, VARIANT, Other, Others
from app.dialogs.sizes import open_at
from app.numbers import quantity, shown
from app.panels.words import SHAPES
from app.sheetview.dialog import PAPERS, ask_path
from app.sheetview.view import PageView
from app.words import tr
from framecore.brief.variants import dropped, kept, present_name, renamed, taken
from framecore.errors import BriefError
from framecore.figures.model import Verdict

if TYPE_CHECKING:
    from app.document import Document
    from app.window.better import Better
    from framecore.sheets.drawing.model import Sheet
    from framecore.stand.model import Stand

REST_MS = 250
AskFile = Callable[[QWidget], str]


def _ask_brief(parent: QWidget) -> str:
    return QFileDialog.getOpenFileName(parent, tr("Compare with a brief"), "", tr("Briefs") + " (*.toml)")[0]


class CompareDialog(QDialog):
    """Compares the present stand with the reference, a variant or another brief, and keeps variants."""

    def __init__(self, better: Better, document: Document, parent: QWidget) -> None:
        super().__init__(parent)
        self.setWindowTitle(tr("Compare and variants"))
        open_at(self, 1080, 680)
        self._better, self._document = better, document
        self._others = Others()
        self.ask_brief: AskFile = _ask_brief
        self.ask_path = ask_path
        self._stand: Stand | None = None
        self.found: list[Other] = []
        self.sheets: tuple[Sheet, ...] = ()
        self.list = QListWidget()
        self.name = QLineEdit()
        self.told = QLabel()
        self.page = PageView()
        self.pages, self.paper = QComboBox(), QComboBox()
        self.keep_button, self.take_button = QPushButton(tr("&Keep the present stand")), QPushButton(tr("&Take"))
        self.rename_button, self.drop_button = QPushButton(tr("Re&name")), QPushButton(tr("&Drop"))
        self.reference_button = QPushButton(tr("Make it the &reference"))
        self.brief_button, self.save_button = QPushButton(tr("Another &brief …")), QPushButton(tr("Save as &PDF …"))
        self._lay_out()
        self._rest = QTimer(self, singleShot=True, interval=REST_MS)
        self._rest.timeout.connect(self._compose)
        self.list.currentRowChanged.connect(lambda _row: self._chosen())
        self.list.itemActivated.connect(lambda _item: self._take())
        self.name.returnPressed.connect(self.keep_button.click)  # does nothing while the button is off
        self.name.textEdited.connect(lambda _text: self._allow())
        self.pages.currentIndexChanged.connect(self._show)
        self.paper.currentIndexChanged.connect(lambda _k: self._compose())
        for button, do in (
            (self.keep_button, self._keep), (self.take_button, self._take), (self.rename_button, self._rename),
            (self.drop_button, self._drop), (self.reference_button, self._refer), (self.brief_button, self._open),
            (self.save_button, self._save),
        ):  # fmt: skip
            button.setAutoDefault(False)
            button.clicked.connect(do)

    def _lay_out(self) -> None:
        self.list.setAccessibleName(tr("What the present stand is compared with"))
        self.list.setWordWrap(True)
        self.list.setSpacing(2)
        self.name.setAccessibleName(tr("Name of the variant"))
        self.name.setPlaceholderText(tr("Name of the variant"))
        self.pages.setMinimumWidth(130)
        self.pages.setAccessibleName(tr("Page"))
        self.paper.setAccessibleName(tr("Paper"))
        self.paper.addItems(list(PAPERS))
        self.told.setWordWrap(True)
        self.keep_button.setToolTip(tr("Keep it under this name in the brief's file; one of that name is replaced"))
        self.take_button.setToolTip(tr("Make the variant the present stand; it can be undone"))
        left = QVBoxLayout()
        left.addWidget(self.list, 1)
        left.addWidget(self.name)
        for row in (
            (self.keep_button, self.rename_button), (self.take_button, self.drop_button),
            (self.reference_button, self.brief_button),
        ):  # fmt: skip
            line = QHBoxLayout()
            for button in row:
                line.addWidget(button)
            left.addLayout(line)
        side = QWidget()
        side.setLayout(left)
        left.setContentsMargins(0, 0, 0, 0)
        side.setFixedWidth(max(300, side.minimumSizeHint().width()))  # some languages need more for their buttons
        head = QHBoxLayout()
        for text, widget in ((tr("Page"), self.pages), (tr("Paper"), self.paper)):
            head.addWidget(QLabel(text))
            head.addWidget(widget)
            head.addSpacing(8)
        head.addStretch(1)
        head.addWidget(self.save_button)
        right = QVBoxLayout()
        right.addLayout(head)
        right.addWidget(self.page, 1)
        both = QHBoxLayout()
        both.addWidget(side)
        both.addLayout(right, 1)
        column = QVBoxLayout(self)
        column.setContentsMargins(14, 12, 14, 12)
        column.addLayout(both, 1)
        column.addWidget(self.told)

    # -- what is shown ---------------------------------------------------------------------------------

    def show_stand(self, stand: Stand) -> None:
        """Follow the present stand, the brief's variants and the reference."""
        if self._stand is None:
            self.paper.setCurrentText(stand.brief.sheet.paper)
        self._stand = stand
        chosen = self.chosen
        self.found = [] if self._better.reference is None else [Other(REFERENCE, tr("reference"), self._better.reference)]
        self.found += self._others.variants(self._document.source) + self._others.briefs()
        own = present_name(self._document.source)
        self.list.blockSignals(True)
        self.list.clear()
        for other in self.found:
            item = QListWidgetItem(self._words(other, own))
            item.setToolTip(other.sentence)
            self.list.addItem(item)
        names = [(o.kind, o.name) for o in self.found]
        at = names.index((chosen.kind, chosen.name)) if chosen and (chosen.kind, chosen.name) in names else 0
        self.list.setCurrentRow(at if self.found else -1)
        self.list.blockSignals(False)
        nothing = tr("Nothing to compare with yet: keep the present stand under a name, or open another brief.")
        if self.told.text() in ("", nothing):  # any other sentence answers what a hand has just done
            self.told.setText("" if self.found else nothing)
        self._allow()
        self._rest.start()

    def _words(self, other: Other, own: str) -> str:
        kinds = {REFERENCE: tr("Reference"), VARIANT: tr("Variant"), FILE: tr("Brief")}
        head = kinds[other.kind] if other.kind == REFERENCE else f"{kinds[other.kind]} “{other.name}”"
        if other.kind == VARIANT and other.name == own:
            head += tr(", the present stand")
        if other.stand is None:
            return f"{head}\n■ {other.sentence}"
        live, units = other.stand.figures.live, other.stand.brief.units
        bad = [(v, sum(f.verdict is v for f in live.values())) for v in (Verdict.STOP, Verdict.LOOK)]
        said = ", ".join(f"{n} {SHAPES[v]} {v.value}" for v, n in bad if n) or f"{SHAPES[Verdict.GOOD]} {Verdict.GOOD.value}"
        mass, cost = live["mass.frame"], live["steel.cost"]
        return f"{head}\n{quantity(mass.value, 'kg', units)}, {shown(f'{cost.value:.2f}')} {other.stand.shop.currency}, {said}"

    @property
    def chosen(self) -> Other | None:
        """What is chosen in the list."""
        row = self.list.currentRow()
        return self.found[row] if 0 <= row < len(self.found) else None

    def _chosen(self) -> None:
        other = self.chosen
        if other is not None and other.kind == VARIANT:
            self.name.setText(other.name)
        self.told.setText(other.sentence if other is not None else "")
        self._allow()
        self._rest.start()

    def _allow(self) -> None:
        other = self.chosen
        variant = other is not None and other.kind == VARIANT
        self.keep_button.setEnabled(bool(self.name.text().strip()))
        self.rename_button.setEnabled(variant and self.name.text().strip() not in ("", other.name if other else ""))
        self.take_button.setEnabled(variant and other is not None and other.stand is not None)
        self.drop_button.setEnabled(variant or (other is not None and other.kind == FILE))
        self.reference_button.setEnabled(other is not None and other.stand is not None and other.kind != REFERENCE)
        self.save_button.setEnabled(bool(self.sheets))

    def _compose(self) -> None:
        from framecore.sheets.lists.compare import compare_sheets

        other, stand = self.chosen, self._stand
        if other is None or other.stand is None or stand is None:
            self.sheets = ()
        else:
            names = (tr("present stand"), other.name)
            self.sheets = compare_sheets(stand, other.stand, names, self.paper.currentText())
        at = max(self.pages.currentIndex(), 0)
        self.pages.blockSignals(True)
        self.pages.clear()
        self.pages.addItems([f"{n}  {s.title}" for n, s in enumerate(self.sheets, 1)])
        self.pages.setCurrentIndex(min(at, len(self.sheets) - 1))
        self.pages.blockSignals(False)
        self._show(self.pages.currentIndex())
        self._allow()

    def _show(self, index: int) -> None:
        self.page.show_sheet(self.sheets[index] if 0 <= index < len(self.sheets) else None)

    # -- hands -----------------------------------------------------------------------------------------

    def _edit(self, make: Callable[[], Mapping[str, Any]], text: str) -> bool:
        """Make the edits as one step of the history, or say why not; whether they were made."""
        try:
            edits = make()
        except ValueError as fault:
            self.told.setText(str(fault))
            return False
        self._document.edit_all(edits, text)
        self.told.setText("")
        return True

    def _keep(self) -> None:
        name, source = self.name.text().strip(), self._document.source
        if self._edit(lambda: kept(source, name), tr("keep variant {name}", name=name)):
            self._select(name)

    def _select(self, name: str) -> None:
        if self._stand is not None:
            self.show_stand(self._stand)
        for row, other in enumerate(self.found):
            if other.kind == VARIANT and other.name == name:
                self.list.setCurrentRow(row)

    def _take(self) -> None:
        other = self.chosen
        if other is None or other.kind != VARIANT or other.stand is None:
            return
        source = self._document.source
        was = present_name(source)
        self._edit(lambda: taken(source, other.name), tr("take variant {name}", name=other.name))
        if not was:
            self.told.setText(tr("Taken. The stand before it was not kept as a variant; Undo in the window brings it back."))

    def _rename(self) -> None:
        other, new, source = self.chosen, self.name.text().strip(), self._document.source
        if other is None:
            return
        if self._edit(lambda: renamed(source, other.name, new), tr("rename variant {name}", name=other.name)):
            self._select(new)

    def _drop(self) -> None:
        other, source = self.chosen, self._document.source
        if other is None:
            return
        if other.kind == FILE:
            self._others.files.pop(other.name, None)
        else:
            self._edit(lambda: dropped(source, other.name), tr("drop variant {name}", name=other.name))
        if self._stand is not None:
            self.show_stand(self._stand)

    def _refer(self) -> None:
        other = self.chosen
        if other is not None and other.stand is not None and self._stand is not None:
            self._better.keep_reference(other.stand, tr("Reference: {name}", name=other.name))
            self.show_stand(self._stand)

    def _open(self) -> None:
        chosen = self.ask_brief(self)
        if not chosen or self._stand is None:
            return
        path = Path(chosen)
        try:
            self._others.open(path)
        except BriefError as fault:
            self.told.setText(fault.findings[0].message)
            return
        self.show_stand(self._stand)
        row = next((k for k, o in enumerate(self.found) if o.kind == FILE and o.name == path.name), -1)
        self.list.setCurrentRow(row)

    def _save(self) -> None:
        from framecore.sheets import write_pdf

        chosen = self.ask_path(self, tr("Save the comparison"), "side-by-side.pdf", "PDF (*.pdf)")
        if not chosen:
            return
        path = Path(chosen)
        try:
            write_pdf(self.sheets, path)
        except OSError as fault:
            self.told.setText(tr("{name} could not be written: {why}.", name=path.name, why=fault.strerror or str(fault)))
        else:
            self.told.setText(tr("Saved {path}.", path=str(path)))

    def keyPressEvent(self, event: Any) -> None:
        """Return in the name has kept the stand; it must not close the dialog."""
        if event.key() not in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            super().keyPressEvent(event)

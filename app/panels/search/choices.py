"""What may vary in a search: a row for each key, with its options to edit."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QSignalBlocker, Qt, Signal
from PySide6.QtWidgets import QHeaderView, QTableWidget, QTableWidgetItem

from app import numbers
from app.numbers import joined, parts
from app.words import tr
from framecore.brief.fields import BY_PATH
from framecore.brief.kinds import Angle, Choice, Length
from framecore.errors import BriefError, Finding, UnitError
from framecore.search import Space, space_of
from framecore.search.changes import matters
from framecore.search.space import usual_keys
from framecore.search.words import shown

if TYPE_CHECKING:
    from framecore.stand.model import Stand

# May vary too, where the maker wants it.
MORE = (
    "frame.layout", "frame.length", "frame.depth", "frame.legs", "frame.corners", "frame.middle_legs", "frame.splay",
    "frame.joined_by", "frame.pedestal", "frame.pedestals", "frame.base", "frame.base_thickness", "frame.shelf",
    "frame.shelf_thickness", "braces.front", "braces.gusset", "braces.gusset_thickness", "braces.panel_thickness",
    "feet.height", "feet.pad_thickness",
)  # fmt: skip


class ChoicesTable(QTableWidget):
    """A tick and a list of options for every key.

    Signals
    -------
    changed() : another choice was made
    """

    changed = Signal()

    def __init__(self) -> None:
        super().__init__(0, 2)
        self.setHorizontalHeaderLabels([tr("May vary"), tr("Between")])
        self.setAccessibleName(tr("What may vary"))
        self.setAccessibleDescription(tr("Space ticks a row, F2 edits its options; a range reads 150..350."))
        self.verticalHeader().hide()
        self.verticalHeader().setDefaultSectionSize(24)
        self.setShowGrid(False)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)  # a row's tip has all of it
        self.setTabKeyNavigation(False)
        head = self.horizontalHeader()
        head.setHighlightSections(False)
        head.setDefaultAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        head.setSectionResizeMode(0, QHeaderView.ResizeMode.ResizeToContents)
        head.setStretchLastSection(True)
        self._keys: tuple[str, ...] = ()
        self._usual: dict[str, str] = {}
        self._typed: dict[str, str] = {}  # what the maker wrote, by key
        self._ticked: dict[str, bool] = {}  # what the maker ticked or not
        self._stand: Stand | None = None
        self.itemChanged.connect(self._edited)

    def show_stand(self, stand: Stand) -> None:
        """Offer what may vary of this stand; what the maker has ticked and typed stays."""
        if self._stand is not None and _sort(self._stand) != _sort(stand):
            self._typed, self._ticked = {}, {}  # they were of another kind of stand
        self._stand = stand
        usual = usual_keys(stand.brief, stand.frame)
        sides = {f"braces.{bay.side}" for bay in stand.frame.bays}
        more = tuple(
            k for k in MORE
            if k not in usual and (k != "braces.front" or k in sides) and matters(stand.brief, stand.frame, k)
        )  # fmt: skip
        keys = (*usual, *more)
        with QSignalBlocker(self):
            self.setRowCount(len(keys))
            self._keys = keys
            for r, key in enumerate(keys):
                self._usual[key] = self._words(key)
                label = BY_PATH[key].label
                name = tr("{side} brace", side=label) if key in sides else tr(label)
                self._put(r, 0, name).setFlags(
                    Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable | Qt.ItemFlag.ItemIsUserCheckable
                )
                on = self._ticked.get(key, key in usual)
                self.item(r, 0).setCheckState(Qt.CheckState.Checked if on else Qt.CheckState.Unchecked)
                text = self._typed.get(key, self._usual[key])
                self._put(r, 1, text).setToolTip(text)

    def _words(self, key: str) -> str:
        """Return the sensible options of a key in words."""
        assert self._stand is not None
        brief = self._stand.brief
        (choice,) = space_of(brief, self._stand.frame, {key: None}).choices
        said = [shown(brief, key, option) for option in choice.options]
        kind = BY_PATH[key].kind
        if isinstance(kind, Length):
            said = [numbers.shown(s) for s in said]
        elif isinstance(kind, Choice):
            said = [tr(s) for s in said]
        return joined(said)

    def _put(self, row: int, column: int, text: str) -> QTableWidgetItem:
        item = self.item(row, column)
        if item is None:
            item = QTableWidgetItem()
            self.setItem(row, column, item)
        if item.text() != text:
            item.setText(text)
        return item

    def _edited(self, item: QTableWidgetItem) -> None:
        key = self._keys[item.row()]
        if item.column() == 0:
            self._ticked[key] = item.checkState() is Qt.CheckState.Checked
        else:
            text = item.text().strip()
            if text and text != self._usual[key]:
                self._typed[key] = text
            else:
                self._typed.pop(key, None)
                with QSignalBlocker(self):
                    item.setText(self._usual[key])
            item.setToolTip(item.text())
            self._ticked[key] = True
            with QSignalBlocker(self):
                self.item(item.row(), 0).setCheckState(Qt.CheckState.Checked)
        self.changed.emit()

    def wanted(self) -> dict[str, list[str] | None]:
        """Return what is ticked: key -> options as typed, None for the sensible ones."""
        return {
            key: _read(key, self._typed[key]) if key in self._typed else None
            for r, key in enumerate(self._keys) if self.item(r, 0).checkState() is Qt.CheckState.Checked
        }  # fmt: skip

    def space(self) -> Space:
        """Return the stands that may be built.

        Raises
        ------
        BriefError
            An option cannot be read, or nothing is ticked; a sentence for each.
        """
        if self._stand is None:
            message = tr("There is no stand to begin from; see the findings.")
            raise BriefError((Finding(code="search.no_stand", message=message),))
        wanted: dict[str, Any] = self.wanted()
        if not wanted:
            raise BriefError((Finding(code="search.nothing", message=tr("Nothing may vary; tick a row.")),))
        return space_of(self._stand.brief, self._stand.frame, wanted)


def _sort(stand: Stand) -> tuple[str, str, str]:
    return stand.brief.machine.kind, stand.brief.frame.layout, stand.brief.units


def _read(key: str, text: str) -> list[str]:
    """Take typed options apart: words as they are said here become the brief's, a decimal comma a point."""
    some = [p for p in parts(text) if p]
    kind = BY_PATH[key].kind
    if isinstance(kind, Choice):
        meant = {tr(o).casefold(): o for o in kind.options}
        return [meant.get(p.casefold(), p) for p in some]
    if not isinstance(kind, (Angle, Length)):
        return some
    try:
        return [numbers.plain(p) for p in some]
    except UnitError as fault:
        raise BriefError((Finding(code="search.number", field=key, message=str(fault)),)) from fault

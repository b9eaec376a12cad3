"""An editor for each kind of key. Each shows a value, and says what was typed when the maker is done.

All of them have ``show_value(text_or_value, typical)``, the signal ``typed(object)``, and ``shows_resolved``: whether what the
brief makes of the value is shown rather than what was typed.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QComboBox, QCompleter, QHBoxLayout, QLabel, QLineEdit, QPushButton, QWidget

from app.dialogs.modal import ask
from app.inputs.fields import Key
from app.inputs.tables import TABLES, ListDialog
from app.numbers import joined, parts, plain, quantity, shown
from app.view3d.written import written
from app.words import offer, tr
from framecore.brief import kinds
from framecore.errors import UnitError
from framecore.units import raised


def words(value: Any) -> str:
    """Return a plain value as it is written in a field; lengths and other quantities with the locale's decimal sign."""
    if value is None:
        return ""
    if isinstance(value, float):
        return shown(f"{value:.6g}" if abs(value) < 1e6 else f"{value:.0f}")
    if isinstance(value, (tuple, list)):
        return joined([words(v) for v in value])
    return str(value)


def number_or_text(text: str) -> Any:
    """Return a number for plain digits, so the file keeps numbers as numbers, else the text with a decimal point.

    Raises
    ------
    UnitError
        The number could be meant in two ways.
    """
    text = plain(text.strip())
    for read in (int, float):
        try:
            return read(text)
        except ValueError:
            pass
    return text


# In an inch brief a number without a unit is text in these; numbers kept in the file stay in the core's unit.
INCH_UNITS = {"mm": "in", "kg": "lb", "N": "lbf", "N m": "lbf ft"}


class LineEditor(QWidget):
    """A line of text with the unit of a plain number behind it.

    Signals
    -------
    typed(value) : what the maker gave, None for nothing
    refused(sentence) : it could be meant in two ways and stands there until it is written in one
    """

    typed = Signal(object)
    shows_resolved = False
    refused = Signal(str)

    def __init__(self, key: Key) -> None:
        super().__init__()
        self.key = key
        self.line = QLineEdit()
        self.line.setAccessibleName(tr(key.label))
        self.line.setPlaceholderText(tr(key.kind.word or ("not given" if key.kind.zero else "empty")))
        self.unit = QLabel(raised(tr(key.unit)))
        self.unit.setObjectName("unit")
        self.unit.setMinimumWidth(46)  # so that the fields end in one line
        self.line.setProperty("numeric", not isinstance(key.kind, kinds.Text))
        if not key.unit:
            self.unit.hide()  # the others are not shown here: without a parent each would be a window of its own
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(6)
        row.addWidget(self.line, 1)
        row.addWidget(self.unit)
        self._shown = ""
        self._inch, self._system = False, "metric"
        self.line.editingFinished.connect(self._done)
        self.setFocusPolicy(self.line.focusPolicy())  # only what takes the keys has a turn that can be set
        self.setFocusProxy(self.line)

    def show_value(self, value: Any, typical: bool) -> None:
        """Show ``value`` unless the maker is in the middle of typing."""
        text = "" if self.key.kind.zero and typical and value == 0 else words(value)
        if text and isinstance(value, str) and not isinstance(self.key.kind, kinds.Text):
            text = shown(text)
        if text and self._inch and not isinstance(value, str):
            # A number of the file keeps the unit it has there; what nobody gave is said in the brief's own.
            text = self._in_inches(value) if typical else f"{text} {self.key.unit}"
        self._shown = text
        if not (self.line.hasFocus() and self.line.isModified()):
            self.line.setText(text)
            self.line.setCursorPosition(0)

    def _in_inches(self, value: Any) -> str:
        if isinstance(value, (tuple, list)):
            return joined([self._in_inches(v) for v in value])
        length = self.key.unit == "mm"
        text = shown(str(written(value, self._system))) if length else quantity(value, self.key.unit, self._system)
        return text.removesuffix(f" {INCH_UNITS[self.key.unit]}")  # it stands behind the field

    def set_units(self, system: str) -> None:
        """Take plain numbers as the brief's system has them."""
        self._system = system
        self._inch = system.startswith("inch") and self.key.unit in INCH_UNITS
        self.unit.setText(raised(tr(INCH_UNITS[self.key.unit] if self._inch else self.key.unit)))

    def _meant(self, text: str) -> Any:
        return plain(text.strip()) if self._inch else number_or_text(text)

    def _done(self) -> None:
        text = self.line.text().strip()
        self.line.setModified(False)
        if text == self._shown:
            return
        if not text:
            self.typed.emit(None)
        elif isinstance(self.key.kind, kinds.Text):
            self.typed.emit(text)
        else:
            try:
                many = isinstance(self.key.kind, kinds.Point)
                meant = [self._meant(p) for p in parts(text)] if many else self._meant(text)
            except UnitError as fault:
                self.refused.emit(str(fault))
                return
            self.typed.emit(meant)


class ChoiceEditor(QComboBox):
    """One of a few words."""

    typed = Signal(object)
    shows_resolved = False

    def __init__(self, key: Key, options: Sequence[str]) -> None:
        super().__init__()
        self.key = key
        self.setAccessibleName(tr(key.label))
        offer(self, options)
        self.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.setMinimumContentsLength(8)
        self.activated.connect(lambda i: self.typed.emit(self.itemData(i)))
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)

    def wheelEvent(self, event: Any) -> None:
        """Leave the wheel to the scrolling panel."""
        event.ignore()

    def show_value(self, value: Any, typical: bool) -> None:
        """Show ``value``."""
        text = words(value)
        index = self.findData(text)
        if index < 0 and text:
            offer(self, [text])
            index = self.count() - 1
        self.setCurrentIndex(index)


class SearchEditor(ChoiceEditor):
    """One of many names; typing any part of it narrows the list. Filled when first used."""

    def __init__(self, key: Key, names: Callable[[], Sequence[str]]) -> None:
        super().__init__(key, ())
        self._names = names
        self._filled = False
        self.setEditable(True)
        self.setInsertPolicy(QComboBox.InsertPolicy.NoInsert)
        line = self.lineEdit()
        line.setAccessibleName(tr(key.label))
        line.editingFinished.connect(self._done)
        self._shown = ""

    def _fill(self) -> None:
        if self._filled:
            return
        self._filled = True
        keep = self.currentText()
        self.blockSignals(True)
        self.clear()
        offer(self, self._names())
        self.setCurrentText(keep)
        self.blockSignals(False)
        finder = QCompleter(self.model(), self)
        finder.setFilterMode(Qt.MatchFlag.MatchContains)
        finder.setCaseSensitivity(Qt.CaseSensitivity.CaseInsensitive)
        finder.setCompletionMode(QCompleter.CompletionMode.PopupCompletion)
        self.setCompleter(finder)

    def focusInEvent(self, event: Any) -> None:
        """Fill the list when the maker arrives."""
        self._fill()
        super().focusInEvent(event)

    def showPopup(self) -> None:
        """Fill the list, then open it."""
        self._fill()
        super().showPopup()

    def show_value(self, value: Any, typical: bool) -> None:
        """Show ``value`` unless the maker is typing."""
        self._shown = words(value)
        if not (self.lineEdit().hasFocus() and self.lineEdit().isModified()):
            self.setCurrentText(self._shown)

    def _done(self) -> None:
        text = self.currentText().strip()
        self.lineEdit().setModified(False)
        if text != self._shown:
            self.typed.emit(text or None)


class TableEditor(QWidget):
    """A list such as holes or lengths sold: says how many rows, opens them in a table."""

    typed = Signal(object)
    shows_resolved = True

    def __init__(self, key: Key) -> None:
        super().__init__()
        self.key = key
        self.button = QPushButton()
        self.button.setAccessibleName(tr(key.label))
        self.button.clicked.connect(self.open)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.addWidget(self.button, 1)
        self.setFocusPolicy(self.button.focusPolicy())
        self.setFocusProxy(self.button)
        self.rows: list[Any] = []

    def show_value(self, value: Any, typical: bool) -> None:
        """Show how many rows there are."""
        self.rows = list(value or ())
        count = len(self.rows)
        table = TABLES[type(self.key.kind)]
        self.button.setText(tr(f"{count or 'no'} {table.noun if count == 1 else table.nouns} …"))

    def open(self) -> None:
        """Edit the rows."""
        dialog = ListDialog(self.key, self.rows, self.window())
        if ask(dialog):
            self.typed.emit(dialog.value())


def editor_for(key: Key) -> Any:
    """Return the right editor for ``key``."""
    kind = key.kind
    if isinstance(kind, kinds.Choice):
        return ChoiceEditor(key, kind.options)
    if isinstance(kind, kinds.ProfileName):
        return SearchEditor(key, _profiles)
    if isinstance(kind, kinds.SteelName):
        return SearchEditor(key, _steels)
    if isinstance(kind, kinds.ThreadName):
        return SearchEditor(key, _threads)
    if type(kind) in TABLES:
        return TableEditor(key)
    return LineEditor(key)


def _profiles() -> list[str]:
    from framecore import catalogue

    return [p.id if hasattr(p, "id") else str(p) for p in catalogue.profiles()]


def _steels() -> list[str]:
    from framecore import catalogue

    return [s.id if hasattr(s, "id") else str(s) for s in catalogue.steels()]


def _threads() -> list[str]:
    from framecore import catalogue

    return [t.id if hasattr(t, "id") else str(t) for t in catalogue.threads()]

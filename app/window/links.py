"""What is lit: one choice of parts, shown by the view, the cut plan and the list alike."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

if TYPE_CHECKING:
    from framecore.stand.model import Stand


class Choice(QObject):
    """The parts that are lit.

    Signals
    -------
    changed(parts, marks) : frozensets of part names and of piece marks
    """

    changed = Signal(object, object)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._stand: Stand | None = None
        self.parts: frozenset[str] = frozenset()
        self.marks: frozenset[str] = frozenset()

    def show_stand(self, stand: Stand) -> None:
        """Drop parts that are gone."""
        self._stand = stand
        if self.parts:
            known = stand.shop.piece_of
            kept = frozenset(p for p in self.parts if p in known)
            self._set(kept, frozenset(known[p] for p in kept))

    def choose_part(self, name: str) -> None:
        """Light one part, or none."""
        known = self._stand.shop.piece_of if self._stand else {}
        if name and name in known:
            self._set(frozenset({name}), frozenset({known[name]}))
        else:
            self._set(frozenset({name} if name else ()), frozenset())

    def choose_parts(self, names: tuple[str, ...]) -> None:
        """Light these parts."""
        known = self._stand.shop.piece_of if self._stand else {}
        self._set(frozenset(names), frozenset(known[n] for n in names if n in known))

    def choose_marks(self, marks: frozenset[str]) -> None:
        """Light every part that is cut to one of these marks."""
        known = self._stand.shop.piece_of if self._stand else {}
        self._set(frozenset(p for p, m in known.items() if m in marks), marks)

    def choose_mark(self, mark: str) -> None:
        """Light the parts of one mark, or none."""
        self.choose_marks(frozenset({mark} if mark else ()))

    def _set(self, parts: frozenset[str], marks: frozenset[str]) -> None:
        if (parts, marks) != (self.parts, self.marks):
            self.parts, self.marks = parts, marks
            self.changed.emit(parts, marks)

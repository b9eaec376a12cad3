"""What is lit: one choice of parts, shown by the view, the cut plan and the lists alike."""

from __future__ import annotations

from collections.abc import Iterable
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
            kept = frozenset(p for p in self.parts if self._marks_of({p}))
            self._set(kept, self._marks_of(kept))

    def choose_part(self, name: str) -> None:
        """Light one part, or none."""
        self.choose_parts((name,) if name else ())

    def choose_parts(self, names: tuple[str, ...]) -> None:
        """Light these parts."""
        self._set(frozenset(names), self._marks_of(names))

    def choose_marks(self, marks: frozenset[str]) -> None:
        """Light every part that is cut to one of these marks, or bought under it."""
        self._set(frozenset(p for known in self._known() for p, m in known.items() if m in marks), marks)

    def choose_mark(self, mark: str) -> None:
        """Light the parts of one mark, or none."""
        self.choose_marks(frozenset({mark} if mark else ()))

    def _known(self) -> tuple[dict[str, str], ...]:
        """What marks are known by: pieces that are cut, things that are bought. A panel has one of its screws too."""
        return (self._stand.shop.piece_of, self._stand.shop.bought_of) if self._stand else ()

    def _marks_of(self, names: Iterable[str]) -> frozenset[str]:
        return frozenset(known[n] for n in names for known in self._known() if n in known)

    def _set(self, parts: frozenset[str], marks: frozenset[str]) -> None:
        if (parts, marks) != (self.parts, self.marks):
            self.parts, self.marks = parts, marks
            self.changed.emit(parts, marks)

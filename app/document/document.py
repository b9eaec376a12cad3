"""The open brief as one immutable value with a history."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QObject, Signal
from PySide6.QtGui import QUndoStack

from app.document.commands import Edit

if TYPE_CHECKING:
    from framecore.brief import BriefSource, Reading


class Document(QObject):
    """The brief that is open.

    Signals
    -------
    changed(source) : another brief is shown; every reader starts from here
    dirty_changed(dirty) : unsaved work came or went
    named(path or None) : the file changed
    """

    changed = Signal(object)
    dirty_changed = Signal(bool)
    named = Signal(object)

    def __init__(self, source: BriefSource, path: Path | None = None, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.source = source
        self.path = path
        self.history = QUndoStack(self)
        self.history.cleanChanged.connect(self._clean_changed)
        self._reading: Reading | None = None

    def _clean_changed(self, clean: bool) -> None:
        self.dirty_changed.emit(not clean)

    @property
    def dirty(self) -> bool:
        """Whether there is work that is in no file."""
        return not self.history.isClean()

    @property
    def reading(self) -> Reading:
        """The brief resolved, with its findings; worked out once per state."""
        if self._reading is None:
            self._reading = self.source.resolve()
        return self._reading

    @property
    def name(self) -> str:
        """File name without folder, or what an unsaved brief is called."""
        return self.path.name if self.path else "unsaved brief"

    def show(self, source: BriefSource) -> None:
        """Take ``source`` as the present state; used by the history only."""
        self.source = source
        self._reading = None
        self.changed.emit(source)

    def edit(self, key: str, value: Any, text: str = "", gesture: int | None = None) -> None:
        """Set one key as typed; ``None`` takes it out, so that the typical value holds again.

        Steps with the same ``gesture`` become one step of the history.
        """
        self.edit_all({key: value}, text or f"change {key}", gesture)

    def edit_all(self, values: Mapping[str, Any], text: str, gesture: int | None = None) -> None:
        """Set several keys as one step of the history."""
        new = self.source
        for key, value in values.items():
            if new.value(key) != value:
                new = new.with_value(key, value)
        if new.values == self.source.values:
            return
        self.history.push(Edit(self, self.source, new, text, gesture))

    def replace(self, source: BriefSource, path: Path | None) -> None:
        """Open another brief; the history starts anew."""
        self.path = path
        self.history.clear()
        self.history.setClean()
        self.show(source)
        self.named.emit(path)
        self.dirty_changed.emit(False)

    def open(self, path: Path) -> None:
        """Open a file. Raises ``BriefError``; the open brief stays then."""
        from framecore.brief import load_source

        self.replace(load_source(path), path)

    def save(self, path: Path | None = None) -> Path:
        """Write to ``path`` or the file it came from. Raises ``BriefError``; the work stays unsaved then."""
        from framecore.brief import save_brief

        target = path or self.path
        if target is None:
            message = "this brief has no file yet"
            raise FileNotFoundError(message)
        save_brief(self.source, target)
        renamed = target != self.path
        self.path = target
        self.history.setClean()
        if renamed:
            self.named.emit(target)
        return target

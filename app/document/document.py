"""The open brief as one immutable value with a history."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QObject, Signal
from PySide6.QtGui import QUndoStack

from app.document.commands import Edit
from app.document.disk import ChangedOnDiskError, FileState, clear_parts, same_file, state_of
from framecore.errors import BriefError, Finding

if TYPE_CHECKING:
    from framecore.brief import BriefSource, Reading


class Document(QObject):
    """The brief that is open.

    Signals
    -------
    changed(source) : another brief is shown; every reader starts from here
    dirty_changed(dirty) : unsaved work came or went
    named(path or None) : the brief belongs to another file

    ``on_disk`` is the file as it was when it was opened or last saved here; ``only_look`` is true while another
    window works on that file, so that saving needs another name.
    """

    changed = Signal(object)
    dirty_changed = Signal(bool)
    named = Signal(object)

    def __init__(self, source: BriefSource, path: Path | None = None, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.source = source
        self.path = path
        self.on_disk = state_of(path)
        self.only_look = False
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
        last = self._open_step(gesture)
        if last is None:
            self.history.push(Edit(self, self.source, new, text, gesture))
            return
        last.go_on(new)
        if last.isObsolete():
            self.history.undo()  # takes it off the history

    def _open_step(self, gesture: int | None) -> Edit | None:
        """Return the step that is still being made by this gesture; what was saved is a step of its own."""
        history = self.history
        at = history.index()
        if gesture is None or at == 0 or at < history.count() or history.isClean():
            return None
        last = history.command(at - 1)
        return last if isinstance(last, Edit) and last.gesture == gesture else None

    def replace(self, source: BriefSource, path: Path | None, *, only_look: bool = False) -> None:
        """Open another brief; the history starts anew."""
        self._put(source, path, state_of(path), only_look=only_look)
        self.dirty_changed.emit(False)

    def _put(self, source: BriefSource, path: Path | None, on_disk: FileState | None, *, only_look: bool = False) -> None:
        self.path, self.on_disk, self.only_look = path, on_disk, only_look
        self.history.clear()
        self.history.setClean()
        self.show(source)
        self.named.emit(path)

    def open(self, path: Path, *, only_look: bool = False) -> None:
        """Open a file. Raises ``BriefError``; the open brief stays then."""
        from framecore.brief import load_source

        self.replace(load_source(path), path, only_look=only_look)

    def recover(self, source: BriefSource, path: Path | None, opened: FileState | None) -> None:
        """Go on with work that is in no file; ``opened`` is what ``path`` was like when that work began."""
        self._put(source, path, opened)
        self.mark_unsaved()

    def mark_unsaved(self) -> None:
        """What is open is in no file, whatever the history says."""
        self.history.resetClean()
        self.dirty_changed.emit(True)

    def disk_now(self) -> FileState | None:
        """Return what the file is like now, None when it is gone or there is none."""
        return state_of(self.path)

    def take_disk(self) -> None:
        """Read the file again as one step of the history, so that what was here can be brought back.

        Raises ``BriefError``; the open brief stays then.
        """
        from framecore.brief import load_source

        if self.path is None:
            return
        state = self.disk_now()
        theirs = load_source(self.path)
        self.history.push(Edit(self, self.source, theirs, "read the file again", None))
        self.on_disk = state
        self.history.setClean()

    def save(self, path: Path | None = None, *, over: bool = False) -> Path:
        """Write to ``path`` or the file it came from; the work stays unsaved when that fails.

        Raises
        ------
        ChangedOnDiskError
            somebody else wrote the file since it was opened or saved here, and ``over`` is false.
        BriefError
            the file cannot be written.
        """
        from framecore.brief import save_brief

        target = path or self.path
        if target is None:
            message = "this brief has no file yet"
            raise FileNotFoundError(message)
        if self.path is not None and same_file(target, self.path):
            if self.only_look:
                message = f"{target.name} was opened to look at only; save under another name, your work is kept."
                raise BriefError((Finding(code="brief.only_look", message=message),))
            now = self.disk_now()
            if now is not None and now != self.on_disk and not over:
                raise ChangedOnDiskError(target, now)
        content = save_brief(self.source, target)
        clear_parts(target)
        renamed = target != self.path
        self.path, self.only_look = target, False
        # The digest is of what was written here: what another program writes a moment later is a change.
        self.on_disk = FileState.of(content, (state_of(target) or FileState(0, 0, "")).mtime_ns)
        self.history.setClean()
        if renamed:
            self.named.emit(target)
        return target

"""Keeps unsaved work in a folder of the user's own, so that no crash and no power cut takes it."""

from __future__ import annotations

import json
import os
import sys
import time
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QObject, QStandardPaths, QThreadPool, QTimer, Signal

from app.document.disk import FileState, same_file
from app.document.slot import Slot, dead, living
from app.live.post import posted

if TYPE_CHECKING:
    from app.document.document import Document
    from framecore.brief import BriefSource

FORMAT = 1
# Work is written when the hand has rested for a second; a hand that never rests does not put it off for longer.
REST_MS = 1000
LONGEST_MS = 4000


def rescue_folder() -> Path:
    """Where this user's unsaved work is kept."""
    if sys.platform.startswith("linux"):
        state = os.environ.get("XDG_STATE_HOME", "")
        root = Path(state) if os.path.isabs(state) else Path.home() / ".local" / "state"
        return root / "standwright" / "kept"
    place = QStandardPaths.StandardLocation.GenericDataLocation
    return Path(QStandardPaths.writableLocation(place) or Path.home()) / "standwright" / "kept"


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """Work that is in no file: the brief as opened, the edits on top, where it came from and when."""

    original: str
    edits: dict[str, Any]
    path: Path | None
    opened: FileState | None
    at: float  # seconds since 1970

    @property
    def when(self) -> datetime:
        """Local time of the keeping."""
        return datetime.fromtimestamp(self.at)

    @property
    def name(self) -> str:
        """File name without folder, or what an unsaved brief is called."""
        return self.path.name if self.path else "a brief without a file"

    def source(self) -> BriefSource:
        """Return the brief with the edits on top."""
        from framecore.brief.document import parse_source

        source, findings = parse_source(self.original)
        if source is None:
            raise ValueError(findings[0].message)
        for key, value in self.edits.items():
            source = source.with_value(key, value)
        return source

    def record(self) -> dict[str, Any]:
        """Return plain values for the file."""
        o = self.opened
        return {
            "format": FORMAT,
            "at": self.at,
            "path": None if self.path is None else str(self.path),
            "opened": None if o is None else [o.mtime_ns, o.size, o.digest],
            "original": self.original,
            "edits": self.edits,
        }

    @classmethod
    def read(cls, file: Path) -> Kept | None:
        """Read one file; None when it is not there or not ours to understand."""
        try:
            raw = json.loads(file.read_text("ascii"))
            if raw["format"] != FORMAT:
                return None
            path, opened = raw["path"], raw["opened"]
            kept = cls(
                original=str(raw["original"]), edits=dict(raw["edits"]), at=float(raw["at"]),
                path=None if path is None else Path(path), opened=None if opened is None else FileState(*opened),
            )  # fmt: skip
            kept.source(), kept.when
        except (OSError, ValueError, KeyError, TypeError, OverflowError):
            return None
        return kept


class Leftover:
    """Kept work whose owner is dead, held so that no other program offers it too."""

    def __init__(self, slot: Slot, kept: Kept) -> None:
        self.slot, self.kept = slot, kept

    def discard(self) -> None:
        """Throw it away."""
        self.slot.close()

    def release(self) -> None:
        """Leave it for later."""
        self.slot.release()


def leftovers(folder: Path) -> list[Leftover]:
    """Take all work that dead windows left, newest first; what is in its file already is cleared away."""
    found = []
    for slot in dead(folder):
        kept = Kept.read(slot.work)
        if kept is not None and not _is_saved(kept):
            found.append(Leftover(slot, kept))
        elif kept is None and slot.work.exists():
            slot.release()  # unreadable for this version; it may be somebody's only copy
        else:
            slot.close()
    return sorted(found, key=lambda left: -left.kept.at)


def _is_saved(kept: Kept) -> bool:
    """Whether the file holds this work: the owner may have died between saving and clearing up."""
    if kept.path is None:
        return False
    try:
        return kept.path.read_bytes() == kept.source().text().encode("utf-8")
    except (OSError, ValueError):
        return False


def open_elsewhere(folder: Path, path: Path, own: str = "") -> bool:
    """Whether a living window other than ``own`` has ``path`` open to work on it."""
    return any(
        about.get("path") and not about.get("only_look") and same_file(Path(about["path"]), path)
        for about in living(folder)
        if about["name"] != own
    )


class Rescue(QObject):
    """Keeps the work of one document as it grows; tells other windows which file is open here.

    Signals
    -------
    failed(sentence) : work cannot be kept; told once until it works again
    """

    failed = Signal(str)

    def __init__(
        self, document: Document, folder: Path | None = None, parent: QObject | None = None,
        now: Callable[[], float] = time.time,
    ) -> None:  # fmt: skip
        super().__init__(parent)
        self.folder = folder or rescue_folder()
        self._document, self._now = document, now
        self._told = ""
        self._closed = self._wrote = False
        self._slot: Slot | None = None
        self._pool = QThreadPool(self)
        self._pool.setMaxThreadCount(1)  # so that clearing up never overtakes a writing
        self._rest, self._limit = QTimer(self), QTimer(self)
        for timer, span in ((self._rest, REST_MS), (self._limit, LONGEST_MS)):
            timer.setSingleShot(True)
            timer.setInterval(span)
            timer.timeout.connect(self.note)
        document.changed.connect(self._changed)
        document.dirty_changed.connect(self._dirty_changed)
        document.named.connect(self._named)
        self._named(document.path)
        if document.dirty:
            self.note()

    @property
    def waiting(self) -> bool:
        """Whether an edit is not kept yet."""
        return self._limit.isActive()

    def _place(self) -> Slot | None:
        if self._slot is None and not self._closed:
            try:
                self._slot = Slot.create(self.folder)
            except OSError as error:
                self._ended(error.strerror or str(error))
        return self._slot

    def _named(self, path: Path | None) -> None:
        slot = self._place()
        if slot is not None:
            about = {"path": None if path is None else str(Path(path).absolute()), "pid": os.getpid()}
            try:
                slot.say({**about, "since": self._now(), "only_look": self._document.only_look})
            except OSError as error:
                self._ended(error.strerror or str(error))

    def _changed(self, _source: BriefSource) -> None:
        if self._closed:
            return
        self._rest.start()
        if not self._limit.isActive():
            self._limit.start()

    def _dirty_changed(self, dirty: bool) -> None:
        if not dirty:
            self.note()

    def _kept(self) -> Kept:
        document, source = self._document, self._document.source
        return Kept(
            original=source.original, edits=dict(source.edits), path=document.path,
            opened=document.on_disk, at=self._now(),
        )  # fmt: skip

    def note(self) -> None:
        """Write the work now, beside the window's own work; take it away when it is all in its file."""
        self._rest.stop()
        self._limit.stop()
        slot = self._place()
        if slot is None:
            return
        kept = self._kept() if self._document.dirty else None
        told = posted(self._ended)
        self._pool.start(lambda: self._write(slot, kept, told))

    def _write(self, slot: Slot, kept: Kept | None, told: Callable[[str], None]) -> None:
        try:
            if kept is None:
                slot.clear()
            else:
                slot.keep(kept.record())
        except (OSError, ValueError, TypeError) as error:
            told(getattr(error, "strerror", None) or str(error))
        else:
            self._wrote = True
            told("")

    def _ended(self, reason: str) -> None:
        if reason and reason != self._told:
            self.failed.emit(
                f"Unsaved work cannot be kept against a crash just now ({reason}, {self.folder}); save often."
            )
        self._told = reason

    def say_again(self) -> None:
        """Tell what went wrong before anybody listened."""
        reason, self._told = self._told, ""
        self._ended(reason)

    def flush(self) -> bool:
        """Write now and wait; whether it is on disk."""
        self._wrote = False
        self.note()
        self._pool.waitForDone()
        return self._wrote

    def others(self, path: Path) -> bool:
        """Whether another living window has ``path`` open to work on it."""
        return open_elsewhere(self.folder, path, self._slot.name if self._slot else "")

    def close(self) -> None:
        """End cleanly: the maker has saved or chosen to drop the work."""
        self._closed = True
        self._rest.stop()
        self._limit.stop()
        self._pool.waitForDone()
        if self._slot is not None:
            self._slot.close()
            self._slot = None

"""One open window's place in the folder of kept work: a lock that dies with its owner, and the work."""

from __future__ import annotations

import contextlib
import json
import os
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from framecore.brief.document import sync_folder

if sys.platform == "win32":
    import msvcrt

    def _take(handle: int) -> bool:
        os.lseek(handle, 1 << 30, os.SEEK_SET)  # beyond the content, which others must be able to read
        try:
            msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
        except OSError:
            return False
        return True

else:
    import fcntl

    def _take(handle: int) -> bool:
        # The system drops this lock however the owner ends; a process number in a file could be somebody else's.
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError:
            return False
        return True


LOCK, WORK, PART = ".lock", ".work", ".part"


class Slot:
    """A held place: ``<id>.lock`` says which file is open, ``<id>.work`` holds work that is in no file.

    Made by ``create`` or ``claim``; ``close`` takes both files away, ``release`` leaves them for later.
    """

    def __init__(self, folder: Path, name: str, handle: int) -> None:
        self.folder, self.name, self._handle = folder, name, handle

    @property
    def work(self) -> Path:
        """The file of the kept work."""
        return self.folder / (self.name + WORK)

    @classmethod
    def create(cls, folder: Path) -> Slot:
        """Take a new place. Raises ``OSError`` when the folder cannot be used."""
        folder.mkdir(parents=True, exist_ok=True)
        with contextlib.suppress(OSError):
            folder.chmod(0o700)
        while True:
            # Another program that is just looking through the folder may take a new lock for a dead one.
            slot = cls.claim(folder, os.urandom(16).hex())
            if slot is not None:
                return slot

    @classmethod
    def claim(cls, folder: Path, name: str) -> Slot | None:
        """Take the place of an owner that is dead; None when it lives."""
        lock = folder / (name + LOCK)
        handle = os.open(lock, os.O_RDWR | os.O_CREAT | getattr(os, "O_BINARY", 0), 0o600)
        if _take(handle) and _is_at(handle, lock):
            return cls(folder, name, handle)
        os.close(handle)
        return None

    def say(self, about: dict[str, Any]) -> None:
        """Write what others may know about this window."""
        content = json.dumps(about).encode("ascii")
        os.lseek(self._handle, 0, os.SEEK_SET)
        os.write(self._handle, content)
        os.ftruncate(self._handle, len(content))

    def keep(self, work: dict[str, Any]) -> None:
        """Write the work in one stroke. Raises ``OSError``; what was kept before stays then."""
        content = json.dumps(work).encode("ascii")
        part = self.folder / (self.name + PART)
        try:
            handle = os.open(part, os.O_WRONLY | os.O_CREAT | os.O_TRUNC | getattr(os, "O_BINARY", 0), 0o600)
            with os.fdopen(handle, "wb") as stream:
                stream.write(content)
                stream.flush()
                os.fsync(stream.fileno())
            os.replace(part, self.work)
        except OSError:
            with contextlib.suppress(OSError):
                part.unlink(missing_ok=True)
            raise
        sync_folder(self.folder)

    def clear(self) -> None:
        """Take the kept work away."""
        self.work.unlink(missing_ok=True)

    def close(self) -> None:
        """Give the place up; nothing of it is left."""
        with contextlib.suppress(OSError):
            (self.folder / (self.name + PART)).unlink(missing_ok=True)
            self.work.unlink(missing_ok=True)
            if sys.platform != "win32":
                (self.folder / (self.name + LOCK)).unlink(missing_ok=True)
        self.release()
        if sys.platform == "win32":
            with contextlib.suppress(OSError):
                (self.folder / (self.name + LOCK)).unlink(missing_ok=True)

    def release(self) -> None:
        """Let go; what is kept stays for the next start."""
        if self._handle >= 0:
            os.close(self._handle)
            self._handle = -1


def _is_at(handle: int, path: Path) -> bool:
    """Whether the open file is still the one of this name: the owner may have taken it away meanwhile."""
    try:
        there = os.stat(path)
    except OSError:
        return False
    return os.path.samestat(os.fstat(handle), there)


def dead(folder: Path) -> Iterator[Slot]:
    """Take every place whose owner is dead."""
    names = {p.name.removesuffix(end) for end in (LOCK, WORK) for p in folder.glob("*" + end)}
    for name in sorted(names):
        try:
            slot = Slot.claim(folder, name)
        except OSError:
            continue
        if slot is not None:
            # Held is not open: others must not take it for a window that works on the file.
            with contextlib.suppress(OSError):
                slot.say({})
            yield slot


def living(folder: Path) -> Iterator[dict[str, Any]]:
    """Yield what every living window says about itself."""
    for lock in sorted(folder.glob("*" + LOCK)):
        try:
            handle = os.open(lock, os.O_RDWR | getattr(os, "O_BINARY", 0))
        except OSError:
            continue
        try:
            if _take(handle):
                continue
            os.lseek(handle, 0, os.SEEK_SET)
            # What is behind the first value is the rest of a longer one that was there before.
            about, _end = json.JSONDecoder().raw_decode(os.read(handle, 1 << 16).decode("ascii"))
        except (OSError, ValueError):
            continue
        finally:
            os.close(handle)
        if isinstance(about, dict):
            yield {**about, "name": lock.name.removesuffix(LOCK)}

"""What a file on disk is like at one moment, so that a later moment can be told from it."""

from __future__ import annotations

import contextlib
import errno
import hashlib
import os
import tempfile
import time
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from framecore.brief.document import PART, new_file_mask, part_prefix
from framecore.errors import BriefError, Finding


@dataclass(frozen=True, slots=True, eq=False)
class FileState:
    """A file's content by its digest; ``mtime_ns`` only says when.

    Two states are equal when the content is: a file that was touched or copied back is not changed.
    """

    mtime_ns: int
    size: int
    digest: str

    def __eq__(self, other: object) -> bool:
        return isinstance(other, FileState) and self.digest == other.digest

    def __hash__(self) -> int:
        return hash(self.digest)

    @property
    def when(self) -> datetime:
        """Time of the last writing, local."""
        return datetime.fromtimestamp(self.mtime_ns / 1e9)

    @classmethod
    def of(cls, content: bytes, mtime_ns: int) -> FileState:
        """Return the state of a file that holds ``content``."""
        return cls(mtime_ns, len(content), hashlib.sha256(content).hexdigest())


def state_of(path: Path | None) -> FileState | None:
    """Return the state of a file, None when it is not there or cannot be read."""
    if path is None:
        return None
    try:
        with open(path, "rb") as stream:
            content = stream.read()
            return FileState.of(content, os.fstat(stream.fileno()).st_mtime_ns)
    except (OSError, ValueError):
        return None


def same_file(one: Path, other: Path) -> bool:
    """Whether two paths lead to one file, by links or by name."""
    try:
        return os.path.samefile(one, other)
    except OSError:
        return os.path.realpath(one) == os.path.realpath(other)
    except ValueError:
        return False  # a name that no file can have


def clock(when: datetime, now: datetime | None = None) -> str:
    """Return a moment as people say it: the time of day, with the date when it is another day."""
    today = (now or datetime.now()).date()
    return f"{when:%H:%M}" if when.date() == today else f"{when:%H:%M on} {when.day} {when:%B %Y}"


def clear_parts(path: Path) -> None:
    """Take away what a saving of this brief left when the power went; one that is on its way now is left alone."""
    with contextlib.suppress(OSError):
        for part in Path(os.path.realpath(path)).parent.iterdir():
            ours = part.name.startswith(part_prefix(path)) and part.name.endswith(PART)
            if ours and part.stat().st_mtime < time.time() - 60:
                part.unlink()


@contextlib.contextmanager
def one_stroke(path: Path) -> Iterator[Path]:
    """Lend a name to write to; what is there takes the place of ``path`` when all of it is written, else nothing does.

    Raises
    ------
    OSError
        the disk is full, the folder read-only, no file can have the name ...; what was there before stays.
    """
    if "\0" in str(path):
        raise OSError(errno.EINVAL, "the name has a character that no file may have", str(path))
    real = Path(os.path.realpath(path))
    handle, name = tempfile.mkstemp(prefix=part_prefix(real), suffix=PART, dir=real.parent)
    os.close(handle)
    part = Path(name)
    try:
        yield part
        part.chmod(real.stat().st_mode & 0o777 if real.exists() else 0o666 & ~new_file_mask())
        part.replace(real)
    finally:
        part.unlink(missing_ok=True)


class ChangedOnDiskError(BriefError):
    """Saving would overwrite what somebody else wrote since the file was opened; ``state`` is theirs."""

    def __init__(self, path: Path, state: FileState) -> None:
        message = (
            f"{path.name} was changed on disk at {clock(state.when)}, after it was opened here; "
            "nothing was saved, your work is kept."
        )
        super().__init__((Finding(code="brief.changed_on_disk", message=message),))
        self.path = path
        self.state = state

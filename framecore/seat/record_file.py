"""The record of levelling rounds on disk: read whole, written in one stroke."""

from __future__ import annotations

import os
import tempfile
import tomllib
from collections.abc import Iterable
from pathlib import Path

from framecore.errors import BriefError, Finding
from framecore.seat.learning import Round, read_record, record_text


def record_path(brief: str | os.PathLike[str]) -> Path:
    """Return where the rounds of a brief are kept: beside it."""
    return Path(brief).with_suffix(".level.toml")


def read_rounds(path: Path) -> tuple[Round, ...]:
    """Return the rounds kept so far, none where there is no file.

    Raises
    ------
    BriefError
        The file is spoilt; one sentence.
    """
    if not path.exists():
        return ()
    try:
        values = tomllib.loads(path.read_text(encoding="utf-8"))
    except (tomllib.TOMLDecodeError, UnicodeDecodeError, RecursionError) as fault:
        sentence = f"{path.name} cannot be read as TOML: {fault}. Mend it, or move it away to start anew."
        raise BriefError((Finding(code="seat.record", message=sentence),)) from fault
    return read_record(values)


def write_rounds(path: Path, rounds: Iterable[Round], title: str) -> None:
    """Write the record: the old one stays whole until the new one is on disk.

    Raises
    ------
    OSError
        The disk is full, the folder read-only; the old record is untouched.
    """
    handle, temporary = tempfile.mkstemp(prefix=f".{path.name}.", suffix=".part", dir=path.parent)
    try:
        with os.fdopen(handle, "w", encoding="utf-8") as stream:
            stream.write(record_text(rounds, title))
            stream.flush()
            os.fsync(stream.fileno())
        os.chmod(temporary, path.stat().st_mode & 0o777 if path.exists() else 0o644)
        os.replace(temporary, path)
    except OSError:
        Path(temporary).unlink(missing_ok=True)
        raise

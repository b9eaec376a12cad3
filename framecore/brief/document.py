"""The brief file as text and values: comments and spelling kept, edits laid over, saved in one stroke."""

from __future__ import annotations

import contextlib
import errno
import os
import re
import tempfile
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any

from framecore.errors import BriefError, Finding

if TYPE_CHECKING:
    from framecore.brief.reading import Reading

# A brief is a page or two; more than this is some other file, bytes.
MOST_BYTES = 1_000_000
_DEEPEST = 12
# Ending of a file that is being written; one that was never finished is left by a power cut only.
PART = ".part"
_HALF_SIGN = re.compile("[\ud800-\udfff]")
_PREFIX = 40  # of the name: the longest name a disk allows leaves no room for more


@dataclass(frozen=True, slots=True, kw_only=True)
class BriefSource:
    """A brief as typed: parsed once, edits kept apart until it is written.

    ``values``: nested plain values, edits applied. ``edits``: dotted path -> new value (None: removed).
    """

    original: str
    values: Mapping[str, Any]
    edits: Mapping[str, Any] = field(default_factory=dict)

    def value(self, path: str) -> Any:
        """Return what was typed at a dotted path, None when it is not given."""
        here: Any = self.values
        for key in path.split("."):
            if not isinstance(here, (dict, Mapping)) or key not in here:  # plain tables are told at once
                return None
            here = here[key]
        return here

    def with_value(self, path: str, value: Any) -> BriefSource:
        """Return a source with one value changed, or taken out when ``value`` is None."""
        return BriefSource(
            original=self.original,
            values=_changed(self.values, path.split("."), value),
            edits={**self.edits, path: value},
        )

    @classmethod
    def new(cls, kind: str) -> BriefSource:
        """Return a brief that names the machine's kind and leaves the rest to typical values."""
        text = f'format = 1\ntitle = "Stand for a {kind}"\n\n[machine]\nkind = "{kind}"\n'
        return cls(original=text, values=tomllib.loads(text))

    def resolve(self) -> Reading:
        """Turn the typed values into a Brief; all findings at once."""
        # The reader builds on this module, so it is fetched when it is needed.
        from framecore.brief.reading import resolve

        return resolve(self)

    def text(self) -> str:
        """Return the TOML text with the edits in place and everything else as it was typed.

        Where a brief is made so oddly that it cannot take an edit in its place, its values are written anew, without
        the comments: nothing that was given is ever lost.
        """
        if not self.edits:
            return self.original
        import tomlkit  # keeps comments and spelling; only what is edited needs it
        from tomlkit.exceptions import TOMLKitError

        try:
            document = tomlkit.parse(self.original)
            for path, value in self.edits.items():
                _put(document, path.split("."), value)
            text = tomlkit.dumps(document)
            if _said(tomlkit.parse(text).unwrap()) == _said(self.values):
                return text
        except (TOMLKitError, ValueError, TypeError, KeyError):
            pass
        return tomlkit.dumps(_plain(self.values))


def _changed(values: Mapping[str, Any], keys: list[str], value: Any) -> dict[str, Any]:
    out = dict(values)
    head, *rest = keys
    if rest:
        inner = out.get(head)
        if value is None and inner is None:
            return out  # nothing to take out
        out[head] = _changed(inner if isinstance(inner, Mapping) else {}, rest, value)
    elif value is None:
        out.pop(head, None)
    else:
        out[head] = value
    return out


def _put(table: Any, keys: list[str], value: Any) -> None:
    import tomlkit
    from tomlkit.items import InlineTable

    *parents, last = keys
    for key in parents:
        if key not in table and value is None:
            return
        if not isinstance(table.get(key), Mapping):
            # Also in the place of a value that stands where a table should: the edit is the maker's last word.
            table[key] = tomlkit.inline_table() if isinstance(table, InlineTable) else tomlkit.table()
        table = table[key]
    if value is None:
        if last in table:
            del table[last]
    else:
        table[last] = _plain(value)


def _plain(value: Any) -> Any:
    """Turn tuples into lists, all the way down: TOML knows no tuples, and no halves of signs."""
    if isinstance(value, str):
        return _HALF_SIGN.sub("\ufffd", value)
    if isinstance(value, (tuple, list)):
        return [_plain(v) for v in value]
    if isinstance(value, Mapping):
        return {k: _plain(v) for k, v in value.items()}
    return value


def _said(values: Any) -> Any:
    """Return what TOML says of values, fit to be compared: a table without keys says nothing, and nan is no number."""
    if isinstance(values, Mapping):
        return {k: said for k, v in values.items() if (said := _said(v)) != {}}
    if isinstance(values, (tuple, list)):
        return [_said(v) for v in values]
    return "nan" if values != values else _plain(values)


def parse_source(content: str | bytes) -> tuple[BriefSource | None, tuple[Finding, ...]]:
    """Parse any content; a file that is no TOML gives one finding instead of an exception."""
    if isinstance(content, str):
        content = content.encode("utf-8", "surrogatepass")
    if len(content) > MOST_BYTES:
        return None, (_file_finding(f"The file is {len(content) / 1e6:.1f} MB; a brief is under 1 MB of text."),)
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as fault:
        line = content[: fault.start].count(b"\n") + 1
        return None, (_file_finding("The file is not UTF-8 text; save it as UTF-8 and open it again.", line),)
    deep = _nesting(text)
    if deep:
        return None, (_file_finding(f"Lists or tables nest deeper than {_DEEPEST} levels; a brief needs 4.", deep),)
    try:
        return BriefSource(original=text, values=tomllib.loads(text)), ()
    except (ValueError, RecursionError):
        return _parse_kindly(text)


def _parse_kindly(text: str) -> tuple[BriefSource | None, tuple[Finding, ...]]:
    """Parse what is no TOML for the quick reader: the slower one names the line, and takes a few things more."""
    import tomlkit
    from tomlkit.exceptions import ParseError, TOMLKitError

    try:
        return BriefSource(original=text, values=tomlkit.parse(text).unwrap()), ()
    except ParseError as fault:
        return None, (_file_finding(f"The text cannot be read as TOML here: {_reason(fault)}.", fault.line),)
    except (TOMLKitError, ValueError, RecursionError) as fault:
        return None, (_file_finding(f"The text cannot be read as TOML: {_reason(fault)}."),)


def _reason(fault: Exception) -> str:
    text = str(fault).split(" at line ")[0].strip().rstrip(".")
    return text[:1].lower() + text[1:] if text else "it is malformed"


def _file_finding(message: str, line: int = 0) -> Finding:
    return Finding(code="brief.file", message=message, line=line)


def _nesting(text: str) -> int:
    """Line where brackets nest too deep for any brief, 0 when nowhere: guards the parser's recursion."""
    depth = 0
    for number, line in enumerate(text.splitlines(), 1):
        for c in line:
            if c in "[{":
                depth += 1
                if depth > _DEEPEST:
                    return number
            elif c in "]}":
                depth = max(0, depth - 1)
    return 0


def save_brief(source: BriefSource, path: str | os.PathLike[str]) -> bytes:
    """Write the brief in one stroke and return what was written: the old file stays whole until the new one is on disk.

    A link stays a link: the file it leads to is written.

    Raises
    ------
    BriefError
        The disk is full, the folder read-only, ...; one sentence, and the old file is untouched.
    """
    target = Path(path)
    temporary = ""
    try:
        content = source.text().encode("utf-8")
        real = Path(os.path.realpath(target))
        if real.exists() and not os.access(real, os.W_OK):
            # A rename would go through, but whoever made the file read-only meant it.
            raise PermissionError(errno.EACCES, os.strerror(errno.EACCES), str(real))
        handle, temporary = tempfile.mkstemp(prefix=part_prefix(real), suffix=PART, dir=real.parent)
        with os.fdopen(handle, "wb") as stream:
            stream.write(content)
            stream.flush()
            os.fsync(stream.fileno())
        os.chmod(temporary, real.stat().st_mode & 0o777 if real.exists() else 0o666 & ~new_file_mask())
        os.replace(temporary, real)
    except (OSError, ValueError) as fault:
        if temporary and os.path.exists(temporary):
            with contextlib.suppress(OSError):
                os.unlink(temporary)
        message = f"{target} could not be saved: {_why_not(fault, target)}; the file on disk is as it was."
        raise BriefError((Finding(code="brief.save", message=message),)) from fault
    sync_folder(real.parent)
    return content


def part_prefix(path: Path) -> str:
    """How the name of an unfinished file of this brief begins."""
    return f".{Path(os.path.realpath(path)).name[:_PREFIX]}."


def new_file_mask() -> int:
    """Return the rights that new files of this user go without."""
    mask = os.umask(0o022)
    os.umask(mask)
    return mask


def sync_folder(folder: Path) -> None:
    """Make the rename last through a power cut, where the system can."""
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def _why_not(fault: OSError | ValueError, target: Path) -> str:
    """Return why a file cannot be written, as a maker would say it."""
    number = getattr(fault, "errno", None)
    if number in (errno.ENOSPC, getattr(errno, "EDQUOT", errno.ENOSPC)):
        return "the disk is full"
    if number == errno.EROFS:
        return "the disk is read-only"
    if number in (errno.EACCES, errno.EPERM):
        if target.exists() and not os.access(target, os.W_OK):
            return "the file is read-only"
        return f"you may not write in the folder {target.parent}"
    if number == errno.ENAMETOOLONG:
        return "the name is too long"
    if number in (errno.ENOENT, errno.ENOTDIR):
        return f"the folder {target.parent} is not there"
    if number == errno.EISDIR:
        return "there is a folder of that name"
    if isinstance(fault, OSError):
        return fault.strerror or str(fault)
    return "the name has a character that no file may have"

"""What every command needs: the stand of a file, and one line for what is wrong."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

from app.words import tr
from framecore.errors import BriefError, Finding, Severity
from framecore.words import Said, keep_names

if TYPE_CHECKING:
    from framecore.brief import BriefSource
    from framecore.stand.model import Stand


def say(text: str) -> None:
    """One line for the maker on stderr."""
    print(f"standwright: {tr(text)}", file=sys.stderr)


def finding_line(finding: Finding, name: str = "") -> str:
    """One finding in one line: place, severity, sentence, what is allowed."""
    where = name + (f":{finding.line}" if finding.line else "")
    if finding.field:
        where += f" [{finding.field}]" if where else f"[{finding.field}]"
    message = tr(finding.message)
    parts = [f"{where}: {tr(finding.severity.value)}: {message}" if where else message]
    if finding.allowed and finding.allowed not in finding.message:
        # Keys are named as they are typed.
        allowed = finding.allowed if finding.code == "brief.unknown" else tr(finding.allowed)
        parts.append(f"{tr('Allowed')}: {allowed}.")
    if finding.nearest and finding.nearest not in finding.message:
        parts.append(f"{tr('Nearest')}: {tr(finding.nearest)}.")
    return Said(" ".join(" ".join(parts).split()))


def load_stand(path: Path) -> Stand:
    """Evaluate the brief in ``path``; raises as ``stand_of``."""
    from framecore.brief import load_source

    return stand_of(load_source(path))


def stand_of(source: BriefSource) -> Stand:
    """Evaluate a brief; raises BriefError or LayoutError with every reason that stops it."""
    from framecore.brief.written import written
    from framecore.stand import evaluate

    reading = source.resolve()
    if reading.brief is None:
        raise BriefError(tuple(f for f in reading.findings if f.severity is Severity.STOP))
    keep_names(*written(reading.brief))
    return evaluate(reading.brief)

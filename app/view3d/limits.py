"""Holds a drag back where the brief would give no stand."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Any

from app.view3d.handles import Change, Here
from framecore.errors import BriefError, Finding, FramecoreError, LayoutError, Severity
from framecore.frame import build_frame
from framecore.frame.model import Frame
from framecore.height import working_height
from framecore.shop.order import bars_for
from framecore.units import format_length

if TYPE_CHECKING:
    from framecore.brief.model import Brief

HALVINGS = 12
SHRINK = 3.0  # mm that a piece may be sawn longer than it is in the stand


def fault(here: Here, values: Mapping[str, Any]) -> Finding | None:
    """Return what stops the stand of a brief with these values, None when nothing does."""
    source = here.source
    for key, value in values.items():
        source = source.with_value(key, value)
    reading = source.resolve()
    stops = [f for f in reading.findings if f.severity is Severity.STOP]
    if reading.brief is None or stops:
        return stops[0] if stops else Finding(code="stand.none", message="The brief gives no stand.")
    try:
        frame = build_frame(reading.brief, working_height(reading.brief).height)
    except (BriefError, LayoutError) as error:
        return error.findings[0]
    except FramecoreError as error:
        return Finding(code="stand.none", message=str(error))
    return next((f for f in frame.findings if f.severity is Severity.STOP), None) or _too_long(reading.brief, frame)


def _too_long(brief: Brief, frame: Frame) -> Finding | None:
    """Return what to say where no bar that can be had gives the longest piece of a profile."""
    longest = {m.profile.id: m for m in sorted(frame.members, key=lambda m: m.length)}
    for name, member in longest.items():
        room = max(bar.length - 2 * bar.trim for bar in bars_for(brief, member.profile))
        if member.length + SHRINK > room:
            long, most = format_length(member.length, brief.units), format_length(room, brief.units)
            message = f"{member.name.capitalize()} would be {long} long, and no bar of {name} gives more than {most}."
            return Finding(code="cut.too_long", message=message, member=member.name, allowed=f"at most {most}")
    return None


def short(finding: Finding) -> str:
    """Return why a hand goes no further: a plain range where there is one, else the finding's sentence."""
    return f"Allowed: {finding.allowed}." if finding.code.startswith("brief.") and finding.allowed else finding.message


class Limits:
    """The limits of one movement that began at ``here``: what is known to stand and what not."""

    def __init__(self, here: Here) -> None:
        self.here = here
        self.sound = fault(here, {}) is None  # a brief that gives no stand is not held back: it may be mended by hand
        self._good: float | None = None
        self._walls: dict[bool, tuple[float, float, Finding]] = {}  # upwards or not: last good, first bad, why

    def held(self, start: float, wish: float, step: float, make: Callable[[float], Change]) -> tuple[Change, Finding | None]:
        """Return the change to ``wish``, or to the last value before it that gives a stand, and what stops it there.

        ``start``: the value when the movement began; ``step``: what the values between go by.
        """
        change = make(wish)
        why = fault(self.here, change.values) if self.sound else None
        if why is None:
            self._good = wish
            return change, None
        good = start if self._good is None else self._good
        up = wish > good
        wall = self._walls.get(up)
        if wall is None or (wish < wall[1] if up else wish > wall[1]):
            wall = self._walls[up] = self._wall(good, wish, step, why, make)
        self._good = wall[0]
        return make(wall[0]), wall[2]

    def _wall(
        self, good: float, bad: float, step: float, why: Finding, make: Callable[[float], Change]
    ) -> tuple[float, float, Finding]:
        for _ in range(HALVINGS):
            if abs(bad - good) <= step * 1.001:
                break
            middle = round((good + bad) / 2 / step) * step
            if middle in (good, bad):
                break
            found = fault(self.here, make(middle).values)
            if found is None:
                good = middle
            else:
                bad, why = middle, found
        return good, bad, why

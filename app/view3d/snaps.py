"""Where a dragged size likes to stop: lengths of which a sold bar or an offcut gives whole pieces, then round numbers."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from app.numbers import length
from app.words import tr
from framecore.errors import FramecoreError
from framecore.frame import build_frame
from framecore.height import working_height
from framecore.search.space import value_of, with_value
from framecore.shop.order import bars_for
from framecore.units import INCH

if TYPE_CHECKING:
    from framecore.brief.model import Brief
    from framecore.frame.model import Frame
    from framecore.stand.model import Stand

# How near a hand must come, mm of the size; a pixel may be less or more, the smaller of both counts.
NEAR_ROUND, NEAR_HUNDRED, NEAR_SOLD = 2.5, 6.0, 4.0
PROBE = 10.0  # mm by which a size is changed to see which pieces follow it
MOST = 20  # pieces out of one bar


@dataclass(frozen=True, slots=True)
class Stop:
    """A size to stop at, mm, and why in words."""

    value: float
    words: str


def stopped(value: float, units: str, reach: float, sold: Sequence[Stop]) -> Stop | None:
    """Return where a size within ``reach`` of a stop goes, None where it is near none.

    Sold lengths go before round numbers: those anybody can type.
    """
    best = min(sold, key=lambda s: abs(s.value - value), default=None)
    if best is not None and abs(best.value - value) <= min(reach, NEAR_SOLD):
        return best
    metric = ((100.0, NEAR_HUNDRED), (10.0, NEAR_ROUND))
    for step, most in metric if units == "metric" else ((6 * INCH, INCH / 4), (INCH / 2, INCH / 8)):
        near = round(value / step) * step
        if near and abs(near - value) <= min(reach, most):
            return Stop(near, "")
    return None


def sold_stops(stand: Stand, key: str) -> tuple[Stop, ...]:
    """Return the sizes at which a bar sold near you, or an offcut on the rack, gives whole pieces and nothing is left.

    The pieces are those whose length follows the size; how fast is read off the frame of a size a little larger.
    """
    brief = stand.brief
    now = value_of(brief, key)
    now = stand.height.height if now is None else now
    other = _frame(brief, key, now + PROBE)
    if other is None:
        return ()
    there = {m.name: m.length for m in other.members}
    stops = []
    for piece in stand.shop.pieces:
        rate = (there.get(piece.members[0], piece.length) - piece.length) / PROBE
        if abs(rate) < 0.05:
            continue
        count = len(piece.members)
        for bar in bars_for(brief, piece.profile):
            free = bar.length - 2 * bar.trim
            for n in range(1, min(MOST, count if bar.rack else MOST) + 1):
                sawn = (free + brief.steel.kerf) / n - brief.steel.kerf
                value = now + (sawn - piece.sawn) / rate
                if not 0.6 * now <= value <= 1.6 * now:
                    continue
                # Down to the next tenth: a piece that is a hair too long would need another bar.
                value = (int(10 * value) if rate > 0 else -int(-10 * value)) / 10
                stops.append(Stop(value, _words(n, piece.mark, bar.length, bar.rack, brief.units)))
    return tuple(stops)


def _frame(brief: Brief, key: str, value: float) -> Frame | None:
    other = with_value(brief, key, value)
    try:
        return build_frame(other, working_height(other).height)
    except FramecoreError:
        return None


def _words(n: int, mark: str, bar: float, rack: bool, units: str) -> str:
    what = length(bar, units)
    if rack:
        return tr("{count} x {mark} from the offcut of {length}", count=n, mark=mark, length=what)
    return tr("{count} x {mark} from a bar of {length}", count=n, mark=mark, length=what)

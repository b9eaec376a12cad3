"""Full bars or cut to length: which is cheaper; and where the merchant cuts full bars so that they fit the car.

Worked out from the cut plan; rack pieces cost nothing either way and stay as planned.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cache, lru_cache

from framecore.brief.model import Brief
from framecore.cutting.model import FLUSH, CutBar, CutPlan
from framecore.shop.model import Shop

ROUND = 10.0  # mm; a merchant counts each piece with its saw cut up to the next of these (common practice)
ROUGH = 5.0  # mm left on a merchant's cut where the bar has it to spare; they cut to some 3 mm (common practice)


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """One profile, bought both ways: ``full`` bars, or ``cut`` to ``length`` mm in ``pieces`` pieces; costs in money."""

    profile: str
    full: float
    cut: float
    pieces: int
    length: float
    mass: float

    @property
    def saves(self) -> float:
        """What cutting to length saves; negative where full bars are cheaper."""
        return self.full - self.cut


@dataclass(frozen=True, slots=True, kw_only=True)
class Parted:
    """A bar as it goes into the car.

    ``cuts`` places from the left end where the merchant cuts, mm; ``parts`` lengths that result; ``after`` the piece,
    counted from 1, behind which each cut lies, as many as the bar has pieces for a cut in what is left over; ``rough`` left on
    every part for the saw at home; ``left`` the longest piece that stays over.
    """

    cuts: tuple[float, ...]
    parts: tuple[float, ...]
    after: tuple[int, ...]
    rough: float
    left: float


def billed(length: float, kerf: float) -> float:
    """Return the length a merchant counts for one piece, mm: with its saw cut, up to the next 10 mm."""
    return math.ceil((length + kerf) / ROUND - 1e-9) * ROUND


def choices(brief: Brief, shop: Shop) -> tuple[Choice, ...]:
    """Return the two ways for each profile of which anything is bought; empty where no price by the cut is given."""
    steel = brief.steel
    if steel.cut_price_kg <= 0.0:
        return ()
    mass_of = {p.profile.id: p.profile.kg_per_m / 1000.0 for p in shop.pieces}
    out = []
    for name, plan in shop.plans:
        lengths = [billed(c.length, steel.kerf) for b in plan.bars if not b.bar.rack for c in b.cuts]
        if not lengths:
            continue
        mass = sum(lengths) * mass_of[name]
        out.append(
            Choice(
                profile=name, full=sum(b.bar.price for b in plan.bars if not b.bar.rack),
                cut=mass * steel.cut_price_kg + len(lengths) * steel.cut_fee, pieces=len(lengths), length=sum(lengths),
                mass=mass,
            )
        )  # fmt: skip
    return tuple(out)


def advice(found: Sequence[Choice], currency: str) -> str:
    """Say in one sentence which way is cheaper, in all and mixed; "" for no choices."""
    if not found:
        return ""
    full, cut = sum(c.full for c in found), sum(c.cut for c in found)
    mixed = sum(min(c.full, c.cut) for c in found)
    if abs(full - cut) < 0.005:
        text = f"Both ways cost {full:.2f} {currency}"
    elif cut < full:
        text = f"Cut to length is cheaper by {full - cut:.2f} {currency}: {cut:.2f} against {full:.2f}"
    else:
        text = f"Full bars are cheaper by {cut - full:.2f} {currency}: {full:.2f} against {cut:.2f}"
    if mixed < min(full, cut) - 0.005:
        short = ", ".join(c.profile for c in found if c.saves > 0.0)
        text += f"; cheapest is {short} cut to length and the rest in full bars, {mixed:.2f}"
    return text + "."


def parted(bar: CutBar, kerf: float, carry: float) -> Parted | None:
    """Return where a bar is cut so that no part is longer than ``carry``; None where a piece alone is too long.

    The pieces stay in their order. Cuts lie between pieces, or in what is left over, so nothing is lost by them but the room
    that the plan has for a saw cut there anyway, and ``rough`` from what is left over. Fewest cuts; among those the longest
    piece left over.

    Parameters
    ----------
    kerf, carry : mm
    """
    return _parted(bar, kerf, carry)


@lru_cache(maxsize=512)
def _parted(bar: CutBar, kerf: float, carry: float) -> Parted | None:
    length, ends = bar.bar.length, [c.end for c in bar.cuts]
    if length <= carry:
        return Parted(cuts=(), parts=(length,), after=(), rough=0.0, left=max(length - ends[-1] - kerf, 0.0))
    spare = max(length - ends[-1] - kerf, 0.0) if ends[-1] < length - FLUSH else 0.0
    # What each cut may take off what is left over; with none to spare the merchant has to cut exactly.
    for rough in (ROUGH, 2.0, 0.0):
        found = _best(length, ends, kerf, carry, rough)
        if found is not None and (rough == 0.0 or sum(k < len(ends) for k in found.after) * rough <= spare):
            return found
    return None


def _best(length: float, ends: Sequence[float], kerf: float, carry: float, rough: float) -> Parted | None:
    """Fewest cuts by dynamic programming over the pieces and the number of cuts made before them."""
    n = len(ends)

    @cache
    def after(first: int, made: int) -> tuple[int, float, tuple[float, ...], tuple[int, ...]] | None:
        """Cuts from piece ``first`` on, with ``made`` before: how many, minus what is left, where, behind which piece."""
        start = ends[first - 1] + made * rough + kerf if first else 0.0
        best: tuple[int, float, tuple[float, ...], tuple[int, ...]] | None = None
        for last in range(first, n):
            at = ends[last] + (made + 1) * rough
            if last == n - 1:
                tail = _tail(length, ends[last] + made * rough, rough, start, kerf, carry)
                if tail is not None:
                    places, left = tail
                    best = min(filter(None, (best, (len(places), -left, places, (n,) * len(places)))))
            elif at - start <= carry + 1e-9:
                rest = after(last + 1, made + 1)
                if rest is not None:
                    best = min(filter(None, (best, (rest[0] + 1, rest[1], (at, *rest[2]), (last + 1, *rest[3])))))
        return best

    found = after(0, 0)
    if found is None:
        return None
    cuts = found[2]
    edges = [0.0, *(c + kerf for c in cuts)]
    parts = tuple(b - a for a, b in zip(edges, (*cuts, length), strict=True))
    inner = any(k < n for k in found[3])
    return Parted(cuts=cuts, parts=parts, after=found[3], rough=rough if inner else 0.0, left=-found[1])


def _tail(
    length: float, done: float, rough: float, start: float, kerf: float, carry: float
) -> tuple[tuple[float, ...], float] | None:
    """Cuts in what is left over behind the last piece, which ends at ``done``, and the longest piece of it that stays."""
    if done - start > carry + 1e-9 or done > length + 1e-6:
        return None
    far = min(start + carry, length)
    count = max(math.ceil((length - far) / (carry + kerf) - 1e-9), 0)
    if count == 0:
        return (), max(length - done - kerf, 0.0)
    # As near behind the last piece as the number of cuts allows, full lengths from the far end.
    first = max(min(done + rough, far), length - count * (carry + kerf))
    places = [first]
    for k in range(count - 1, 0, -1):
        places.append(length - k * (carry + kerf))
    return tuple(places), min(carry, length - first - kerf)


def long_bars(brief: Brief, plan: CutPlan) -> tuple[tuple[int, Parted | None], ...]:
    """Return the bars of a plan, counted from 1, that are bought and do not fit the car, with where they are cut."""
    carry = brief.steel.carry
    if carry <= 0.0:
        return ()
    return tuple(
        (n, parted(bar, plan.kerf, carry))
        for n, bar in enumerate(plan.bars, 1)
        if not bar.bar.rack and bar.bar.length > carry
    )


def longest(brief: Brief, shop: Shop) -> float:
    """Return the longest thing to carry home, mm, the merchant's cuts made."""
    out = [0.0]
    for _, plan in shop.plans:
        cut = dict(long_bars(brief, plan))
        for n, bar in enumerate(plan.bars, 1):
            if bar.bar.rack:
                continue
            found = cut.get(n)
            out.append(max(found.parts) if found is not None else bar.bar.length)
    return max(out)


def merchant_words(brief: Brief, shop: Shop, words: Callable[[float], str]) -> str:
    """Say which bars the merchant cuts where, "" where all fit the car."""
    out = []
    for name, plan in shop.plans:
        for n, found in long_bars(brief, plan):
            if found is None:
                out.append(f"{name} bar {n} holds a piece that is longer: have it brought")
            else:
                out.append(f"{name} bar {n} at {' and '.join(words(c) for c in found.cuts)} from one end")
    if not out:
        return ""
    return f"For parts no longer than {words(brief.steel.carry)}: {'; '.join(out)}. The cut plan shows each cut."

"""Bearers that lie where the maker says: whether each has its place, and which hole lies on which."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from framecore.errors import Finding


def _mm(value: float) -> str:
    return f"{round(value, 1):.6g} mm"


@dataclass(frozen=True, slots=True, kw_only=True)
class Support:
    """What may carry a hole: ``x`` of its middle, ``flat`` half its level face, ``height`` mm (0: a rail's own)."""

    name: str
    x: float
    flat: float
    height: float
    placed: bool = True

    def off(self, x: float, half: float) -> float:
        """How far a hole reaching ``half`` to each side of x runs off the level face, mm."""
        return abs(x - self.x) + half - self.flat


def place_findings(
    xs: Sequence[float], half: float, limit: float, across: Sequence[tuple[str, float]], rail: float
) -> Iterator[tuple[int, Finding]]:
    """Yield which of the bearers, left to right, has no place, and the finding.

    Parameters
    ----------
    half : half a bearer's width, mm
    limit : how far from the middle of the ring a bearer's middle may lie, mm
    across : name and x of rails that cross the ring, ``rail`` mm wide
    """
    most = max(math.floor(limit + 1e-9), 0)
    room = f"{-most} to {most} mm"
    for k, x in enumerate(xs):
        name = f"bearer {k + 1}"
        if abs(x) > limit + 1e-9:
            near = float(most if x > 0 else -most)
            yield k, Finding(
                code="frame.bearer_not_in_ring", field="frame.bearers_at", member=name,
                message=(
                    f"The {name} fixed at x = {_mm(x)} does not lie in the ring between its end rails; "
                    f"its middle may lie from {room}."
                ),
                allowed=room, nearest=f"{near:.0f} mm",
            )  # fmt: skip
            continue
        hit = next((r for r in across if abs(x - r[1]) < half + rail / 2 - 1e-9), None)
        if hit is not None:
            beside = [p for p in (hit[1] - half - rail / 2, hit[1] + half + rail / 2) if abs(p) <= limit + 1e-9]
            near = min(beside, key=lambda p: abs(p - x), default=x)
            yield k, Finding(
                code="frame.bearer_in_rail", field="frame.bearers_at", member=name,
                message=(
                    f"The {name} fixed at x = {_mm(x)} runs into the {hit[0]} at x = {_mm(hit[1])}; "
                    f"beside it its middle may lie at x = {' or '.join(_mm(p) for p in beside)} or further off."
                ),
                allowed=f"{_mm(half + rail / 2)} or more from x = {_mm(hit[1])}", nearest=f"{_mm(near)}",
            )  # fmt: skip


def carried(
    points: Sequence[tuple[float, float]], halves: Sequence[float], supports: Sequence[Support], limit: float
) -> tuple[dict[int, Support], tuple[Finding, ...]]:
    """Return which support each hole lies on, and a finding for each that lies on none.

    Parameters
    ----------
    halves : how far each hole reaches to each side of its middle along x, mm
    supports : bearers first to last, then rails
    limit : how far from the middle of the ring a bearer's middle may lie, mm
    """
    on: dict[int, Support] = {}
    beside: dict[int, Support] = {}
    bearers = [s for s in supports if s.height > 0]
    for i, (x, _) in enumerate(points):
        best = min(supports, key=lambda s: s.off(x, halves[i]))
        if best.off(x, halves[i]) <= 1e-9:
            on[i] = best
        else:
            beside[i] = min(bearers, key=lambda s: abs(x - s.x))
    return on, tuple(_beside(i, points, halves, on, beside, limit) for i in beside)


def _beside(
    i: int, points: Sequence[tuple[float, float]], halves: Sequence[float], on: dict[int, Support],
    beside: dict[int, Support], limit: float,
) -> Finding:  # fmt: skip
    bar, x = beside[i], points[i][0]
    kept = [k for k, s in on.items() if s is bar]
    together = [k for k, s in beside.items() if s is bar]

    def middle(holes: list[int]) -> float | None:
        """Where the bearer carries all these holes, None where it is too narrow for them."""
        low, high = min(points[k][0] - halves[k] for k in holes), max(points[k][0] + halves[k] for k in holes)
        return (low + high) / 2 if high - low <= 2 * bar.flat + 1e-9 else None

    need = next((p for p in (middle([*kept, *together]), middle([*kept, i])) if p is not None), None)
    told = f"Hole {i + 1} at x = {_mm(x)} lies on the flat of no bearer: {bar.name}, the nearest, is fixed at x = {_mm(bar.x)}"
    if need is None:
        need = x
        others = ", ".join(str(k + 1) for k in kept)
        cure = f" and carries hole {others}" if len(kept) == 1 else f" and carries holes {others}" if kept else ""
        cure += f"; fix one more bearer at x = {_mm(need)}" if kept else "; its flat is narrower than the hole"
    else:
        cure = f"; it would have to lie at x = {_mm(need)}"
    if abs(need) > limit + 1e-9:
        most = max(math.floor(limit + 1e-9), 0)
        cure += f", which is past {most} mm, the end of the room between the rails: move the machine along"
    return Finding(
        code="frame.hole_beside_bearer", field="frame.bearers_at", member=bar.name, message=f"{told}{cure}.",
        allowed=f"hole on the flat of a bearer, {_mm(2 * bar.flat)} wide", nearest=f"{_mm(need)}",
    )  # fmt: skip

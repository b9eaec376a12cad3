"""Measures of a workbench: its top ring, the legs under it, and what crosses the ring."""

from __future__ import annotations

from dataclasses import dataclass, replace

from framecore.brief.model import Brief
from framecore.frame._posts import ROWS, Posts
from framecore.frame.four_post import Measures, measure

MOST_LEGS = 8


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Bench:
    """A bench, mm: the ring of ``length`` x ``depth`` lies about the origin, its legs may stand aside of it.

    Attributes
    ----------
    m : levels and sections
    p : legs and lower ring
    crossing : per column of legs the rail that lies across over them: an end rail of the ring or a cross rail
    """

    m: Measures
    p: Posts
    length: float
    depth: float
    crossing: tuple[str, ...]

    @property
    def width(self) -> float:
        """Width of the ring's rails."""
        return self.m.top_rail.width

    @property
    def under(self) -> float:
        """Z of the ring's underside."""
        return self.m.ring_top - self.m.top_rail.height

    def under_long_rail(self, side: int) -> bool:
        """Whether the legs of the front (-1) or back (+1) row stand under the long rail, at least in part."""
        return side > 0 or self.m.brief.frame.overhang_front < self.width - 1e-9

    def at_ring_corner(self, row: str, column: int) -> bool:
        """Whether a leg stands under a corner of the ring."""
        side = next(s for r, _, s in ROWS if r == row)
        return self.crossing[column].startswith("top rail") and self.under_long_rail(side)

    @property
    def cross_rails(self) -> dict[str, float]:
        """Cross rail -> its x."""
        return {name: x for name, x in zip(self.crossing, self.p.xs, strict=True) if name.startswith("cross")}


def measure_bench(brief: Brief, height: float) -> Bench:
    """Work out the bench: the ring reaches past the legs by the overhangs and is flush with them at the back."""
    f = brief.frame
    length, depth = f.length + f.overhang_left + f.overhang_right, f.depth + f.overhang_front
    m = replace(measure(brief, height), style="under the ring", ring_length=length, ring_depth=depth)
    p = replace(
        m.posts, length=f.length, depth=f.depth, cx=(f.overhang_left - f.overhang_right) / 2, cy=f.overhang_front / 2,
        middle=min(f.middle_legs, (MOST_LEGS - 4) // 2),  # more are refused
    )  # fmt: skip
    # An end rail counts as lying over the legs until there is room for a rail of their own beside it.
    inner = length / 2 - 1.5 * m.top_rail.width
    crossing, number = [], 0
    for k, x in enumerate(p.xs):
        if k == 0 and x < -inner - 1e-9:
            crossing.append("top rail left")
        elif k == p.middle + 1 and x > inner + 1e-9:
            crossing.append("top rail right")
        else:
            number += 1
            crossing.append(f"cross rail {number}")
    return Bench(m=m, p=p, length=length, depth=depth, crossing=tuple(crossing))

"""Two rows of tube legs and what joins them low down: lower rails, stretchers, shelf, and the bays between them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from framecore.brief.model import Brief
from framecore.catalogue.model import Profile
from framecore.frame._build import box_bar
from framecore.frame._foot import add_foot
from framecore.frame._ring import rail_across, rail_along
from framecore.frame.draft import Draft
from framecore.frame.fitup import tube_branch
from framecore.frame.model import Bay, FitUp, Joint, Member, Role, Vector

ROWS = (("F", "front", -1), ("B", "back", 1))


def branch_fit(
    brief: Brief, branch: Profile, run: Profile, face: float, width: float
) -> tuple[FitUp, ...]:
    """Fit of a tube's end, ``width`` across, on a ``face`` of another tube, mm; nothing where either is open."""
    if not (branch.closed and run.closed):
        return ()
    return (tube_branch(width, branch.wall_design, run, face, brief.welding.leg, brief.welding.process),)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Posts:
    """Measures of the legs and the lower ring, mm.

    Attributes
    ----------
    length, depth : outside of the legs; ``cx``, ``cy`` their middle on the floor
    middle : middle legs of each row
    bottom : z where legs begin; ``corner_top`` and ``middle_top`` where they end
    level : z of the lower ring's upper face, 0: none
    toe : how far the front lower rail stands back from the legs' front faces
    """

    brief: Brief
    leg: Profile
    rail: Profile
    stretcher: Profile
    slat: Profile
    length: float
    depth: float
    middle: int
    bottom: float
    corner_top: float
    middle_top: float
    level: float
    toe: float
    cx: float = 0.0
    cy: float = 0.0

    @property
    def xs(self) -> tuple[float, ...]:
        """Return x of the legs' middles, left to right."""
        half = (self.length - self.leg.width) / 2
        return tuple(self.cx - half + 2 * half * k / (self.middle + 1) for k in range(self.middle + 2))

    def y(self, side: int) -> float:
        """Return y of the legs' middles in the front (-1) or back (+1) row."""
        return self.cy + side * (self.depth - self.leg.height) / 2

    def tag(self, row: str, column: int) -> str:
        """Name of the place of a leg: "FL", "FM1", ... "FR"."""
        return row + ("L" if column == 0 else "R" if column == self.middle + 1 else f"M{column}")

    def rail_name(self, side: str, bay: int) -> str:
        """Name of the lower rail of a bay, counted from the left."""
        return f"lower rail {side}" + (f" {bay + 1}" if self.middle else "")

    @property
    def front_rail_y(self) -> float:
        """Return y of the front lower rail's middle."""
        return self.cy - self.depth / 2 + self.toe + self.rail.width / 2

    def rail_span(self, bay: int, set_back: bool) -> tuple[float, float]:
        """Return x from which and to which the lower rail of a bay reaches."""
        xs, half = self.xs, self.leg.width / 2
        if not set_back:
            return xs[bay] + half, xs[bay + 1] - half
        half, inner = self.stretcher.width / 2, self.length / 2 - self.rail.width
        return (
            xs[bay] + half if bay else self.cx - inner,
            xs[bay + 1] - half if bay < self.middle else self.cx + inner,
        )


def joint_name(prefix: str, tag: str) -> str:
    """Name of the joint of a ring with a leg: "top rail corner FL", "lower rail at FM1"."""
    return f"{prefix} {'at' if 'M' in tag else 'corner'} {tag}"


def front_joint(p: Posts, column: int) -> str:
    """Name of the joint that holds the front lower rail at a leg, or beside it where it is set back."""
    if not p.toe:
        return joint_name("lower rail", p.tag("F", column))
    if 0 < column <= p.middle:
        return f"lower rail front on stretcher {column}"
    return f"lower rail front on {'right' if column else 'left'}"


def add_legs(d: Draft, p: Posts) -> None:
    """Add the legs with their pads and feet, the front row first, each from the left."""
    for row, _, side in ROWS:
        for k, x in enumerate(p.xs):
            tag, y = p.tag(row, k), p.y(side)
            top = p.middle_top if 0 < k <= p.middle else p.corner_top
            d.members.append(
                box_bar(f"leg {tag}", Role.LEG, p.leg, start=(x, y, p.bottom), end=(x, y, top),
                        y_axis=(1.0, 0.0, 0.0), z_axis=(0.0, 1.0, 0.0))
            )  # fmt: skip
            add_foot(d, tag, f"leg {tag}", x, y)


def lower_rails(p: Posts) -> tuple[Member, ...]:
    """Lower rails and stretchers, every end square on the face it lands on."""
    out = []
    for side, y, set_back in (
        ("front", p.front_rail_y, bool(p.toe)), ("back", p.cy + p.depth / 2 - p.rail.width / 2, False),
    ):  # fmt: skip
        for bay in range(p.middle + 1):
            x0, x1 = p.rail_span(bay, set_back)
            out.append(rail_along(p.rail_name(side, bay), Role.LOWER_RAIL, p.rail, x0, x1, y, p.level))
    y0, y1 = p.y(-1) + p.leg.height / 2, p.y(1) - p.leg.height / 2
    x = p.length / 2 - p.rail.width / 2
    out += [
        rail_across(f"lower rail {side}", Role.LOWER_RAIL, p.rail, y0, y1, p.cx + s * x, p.level)
        for side, s in (("left", -1), ("right", 1))
    ]
    out += [
        rail_across(f"stretcher {k}", Role.STRETCHER, p.stretcher, y0, y1, p.xs[k], p.level)
        for k in range(1, p.middle + 1)
    ]
    return tuple(out)


def lower_joints(p: Posts) -> Iterator[Joint]:
    """Joints of the lower ring with the legs, and of a set-back front rail with what carries it."""
    z = p.level - p.rail.height / 2
    along, across = (
        branch_fit(p.brief, p.rail, p.leg, p.leg.height, p.rail.width),
        branch_fit(p.brief, p.stretcher, p.leg, p.leg.width, p.stretcher.width),
    )
    for row, side, sign in ROWS:
        parted = sign > 0 or not p.toe
        for k, x in enumerate(p.xs):
            tag = p.tag(row, k)
            rails = [p.rail_name(side, b) for b in (k - 1, k) if 0 <= b <= p.middle] if parted else []
            middle = 0 < k <= p.middle
            cross = f"stretcher {k}" if middle else f"lower rail {'right' if k else 'left'}"
            fits = (*(along if parted or not middle else ()), *(across if middle else ()))
            yield Joint(
                name=joint_name("lower rail", tag), kind="rails on leg", members=(f"leg {tag}", *rails, cross),
                point=(x, p.y(sign), z), fit_ups=fits,
            )  # fmt: skip
    if not p.toe:
        return
    for k, x in enumerate(p.xs):
        rails = [p.rail_name("front", b) for b in (k - 1, k) if 0 <= b <= p.middle]
        if 0 < k <= p.middle:
            run, on, at = p.stretcher, f"stretcher {k}", (x, p.front_rail_y, p.level - p.stretcher.height / 2)
        else:
            sign = 1 if k else -1
            run, on = p.rail, f"lower rail {'right' if k else 'left'}"
            at = (p.cx + sign * (p.length / 2 - p.rail.width / 2), p.front_rail_y, z)
        yield Joint(
            name=front_joint(p, k), kind="rail on rail", members=(on, *rails), point=at,
            fit_ups=branch_fit(p.brief, p.rail, run, run.height, p.rail.height),
        )  # fmt: skip


def shelf_joints(p: Posts) -> tuple[str, ...]:
    """Joints that carry a shelf: the four of every bay, so that those between two bays carry twice."""
    return tuple(
        name
        for bay in range(p.middle + 1)
        for k in (bay, bay + 1)
        for name in (front_joint(p, k), joint_name("lower rail", p.tag("B", k)))
    )


def shelf_outline(p: Posts, clear: float) -> NDArray[np.float64]:
    """Outline of a sheet on the lower ring, notched round the legs it meets, about their middle; (k, 2) mm.

    ``clear``: from a leg to the sheet, mm: the rails' welds stand there.
    """
    x, y, a, b = p.length / 2, p.depth / 2, p.leg.width + clear, p.leg.height + clear
    middles = [v - p.cx for v in p.xs[1:-1]]

    def notches(edge: float, inner: float, columns: list[float], way: int) -> list[tuple[float, float]]:
        out = []
        for v in columns:
            first, last = v - way * (a + clear) / 2, v + way * (a + clear) / 2
            out += [(first, edge), (first, inner), (last, inner), (last, edge)]
        return out

    back = [
        (x, y - b), (x - a, y - b), (x - a, y), *notches(y, y - b, middles[::-1], -1),
        (-x + a, y), (-x + a, y - b), (-x, y - b),
    ]  # fmt: skip
    if p.toe:
        return np.array([(-x, -y + p.toe), (x, -y + p.toe), *back])
    front = [(-x + a, -y), *notches(-y, -y + b, middles, 1), (x - a, -y), (x - a, -y + b), (x, -y + b)]
    return np.array([*front, *back, (-x, -y + b), (-x + a, -y + b)])


def slat_places(p: Posts, count: int) -> tuple[tuple[int, float], ...]:
    """Bay and x of each slat: shared out between the bays, evenly spaced in each."""
    out = []
    bays = p.middle + 1
    half = max(p.leg.width, p.stretcher.width) / 2
    inner = p.length / 2 - p.rail.width
    for bay in range(bays):
        x0 = p.xs[bay] + half if bay else p.cx - inner
        x1 = p.xs[bay + 1] - half if bay < p.middle else p.cx + inner
        n = (2 * count * (bay + 1) + bays) // (2 * bays) - (2 * count * bay + bays) // (2 * bays)
        out += [(bay, x0 + (x1 - x0) * (k + 1) / (n + 1)) for k in range(n)]
    return tuple(out)


def add_slats(d: Draft, p: Posts, count: int) -> None:
    """Add the slats of a shelf and their joints on the lower rails."""
    y0, y1 = p.front_rail_y + p.rail.width / 2, p.cy + p.depth / 2 - p.rail.width
    fits = branch_fit(p.brief, p.slat, p.rail, p.rail.height, p.slat.height)
    z = p.level - p.rail.height / 2
    for n, (bay, x) in enumerate(slat_places(p, count), 1):
        d.members.append(rail_across(f"slat {n}", Role.SLAT, p.slat, y0, y1, x, p.level))
        for side, y in (("front", p.front_rail_y), ("back", y1 + p.rail.width / 2)):
            d.joints.append(
                Joint(name=f"slat {n} {side}", kind="slat on rail", members=(p.rail_name(side, bay), f"slat {n}"),
                      point=(x, y, z), fit_ups=fits)
            )  # fmt: skip


def bays(p: Posts, top: float, tops: dict[str, str], rails: dict[str, str]) -> Iterator[Bay]:
    """Openings between neighbouring legs; long sides parted by middle legs are counted from the stand's left.

    Parameters
    ----------
    top : z of the underside of the top rails, mm
    tops : place of a leg -> joint at its top
    rails : side -> top rail over its legs
    """
    low = p.level or p.bottom
    a, b = p.leg.width / 2, p.leg.height / 2
    xs = p.xs
    plans: list[tuple[str, str, str, str, str, tuple[float, float], tuple[float, float], Vector]] = []
    for row, side, sign in ROWS:
        for k in range(p.middle + 1):
            ends = [(p.tag(row, k), xs[k] + a), (p.tag(row, k + 1), xs[k + 1] - a)][::-sign]
            (left, u), (right, v) = ends
            set_back = sign < 0 and p.toe > 0
            bottom = p.rail_name(side, k) if p.level and not set_back else ""
            name = f"{side} {k + 1}" if p.middle else side
            plans.append((name, side, left, right, bottom, (u, p.y(sign)), (v, p.y(sign)), (0.0, float(sign), 0.0)))
    for side, sign, x, row in (("left", -1, xs[0], "BF"), ("right", 1, xs[-1], "FB")):
        column = side[0].upper()
        y = [p.y(1) - b, p.y(-1) + b][::-sign]
        bottom = f"lower rail {side}" if p.level else ""
        plans.append((side, side, row[0] + column, row[1] + column, bottom, (x, y[0]), (x, y[1]), (float(sign), 0.0, 0.0)))
    for name, side, left, right, bottom, p0, p1, normal in plans:
        yield Bay(
            name=name, side=side, left=f"leg {left}", right=f"leg {right}", bottom=bottom, top=rails[side],
            corners=((*p0, low), (*p1, low), (*p1, top), (*p0, top)), normal=normal,
            joints=(
                joint_name("lower rail", left) if p.level else "", joint_name("lower rail", right) if p.level else "",
                tops[right], tops[left],
            ),
        )  # fmt: skip

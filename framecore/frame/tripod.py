"""Layout ``tripod``: three legs under the three supports of a surface plate.

The plate rests on three blocks, each over a leg: two at the front and one at the back, a fifth of the plate's
length and width in from its edges, or where a machine with exactly three holes has them. Three supports always
bear, on any floor; a fourth would carry or hang as the floor likes. Splayed legs lean out along their diagonals,
away from each other, so length and depth follow from the plate and the splay. Rails join the legs as a triangle
at the top and at the lower ring.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from framecore.brief.model import Brief
from framecore.catalogue import profile as find_profile
from framecore.catalogue import steel as find_steel
from framecore.catalogue.model import Profile
from framecore.frame._build import flat_plate, rectangle
from framecore.frame._corner import CornerLeg, Plan, Side
from framecore.frame._foot import add_foot
from framecore.frame._seat import holes_on_stand
from framecore.frame._tripod_checks import tripod_findings
from framecore.frame.draft import Draft
from framecore.frame.fitup import tube_branch
from framecore.frame.machine import machine_datum
from framecore.frame.model import NOTCH_SPARE, Bay, FitUp, Joint, Mount, Plate, PlateRole, Role
from framecore.frame.vector import cross, minus

NAME = "tripod"
# Supports of a surface plate lie this share of length and width in from its edges (common practice).
IN = 1 / 5
_ORDER = ("FL", "FM", "FR", "BL", "BM", "BR")  # feet are listed from the front left


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Measures:
    """Levels, profiles and legs that the parts share, mm; ``mounts``: leg's code for mount 1, 2, 3."""

    brief: Brief
    leg: Profile
    top_rail: Profile
    lower_rail: Profile
    seat: float
    legs: dict[str, CornerLeg]
    sides: tuple[Side, ...]
    mounts: tuple[str, str, str]
    leg_bottom: float
    leg_top: float

    @property
    def block(self) -> float:
        """Side of a support block, mm: it covers the leg's level-cut end with the fillet round it."""
        return 5 * math.ceil((self.band + 2 * self.brief.welding.leg) / 5 - 1e-9)

    @property
    def band(self) -> float:
        """Least side of a square that covers a leg's level-cut end, mm."""
        return self.leg.width / math.cos(math.radians(self.brief.frame.splay))

    @property
    def extent(self) -> tuple[float, float, float, float]:
        """Least x, y and most x, y of the legs where they stand on their pads, mm."""
        points = [p for leg in self.legs.values() for p in leg.section(self.leg_bottom)]
        xs, ys = [p[0] for p in points], [p[1] for p in points]
        return min(xs), min(ys), max(xs), max(ys)


def supports(brief: Brief) -> tuple[Plan, ...]:
    """Return x, y of the three supports in the stand's axes, mm: mount 1, 2, 3.

    The holes of a machine that has just three, else a fifth in from the edges of the largest box of the
    machine's outline, two at the front; without an outline the plate is taken as long and deep as the stand.

    Source: common practice for surface plates.
    """
    if len(brief.machine.holes) == 3:
        return holes_on_stand(brief)
    x, y, _ = machine_datum(brief, 0.0)
    length, depth = brief.frame.length, brief.frame.depth
    at, size = (x - length / 2, y - depth / 2), (length, depth)
    if brief.machine.outline:
        box = max(brief.machine.outline, key=lambda b: b.size[0] * b.size[1])
        at, size = (x + box.at[0], y + box.at[1]), (box.size[0], box.size[1])
    u, v = IN * size[0], IN * size[1]
    return (
        (at[0] + u, at[1] + v),
        (at[0] + size[0] - u, at[1] + v),
        (at[0] + size[0] / 2, at[1] + size[1] - v),
    )


def _corners(points: tuple[Plan, ...]) -> tuple[str, str, str]:
    """Return the code of each support: the two that lie nearest in y are left and right, the third opposite."""
    low, middle, high = sorted(range(3), key=lambda i: points[i][1])
    pair, lone, here, there = (
        ((low, middle), high, "F", "B")
        if points[middle][1] - points[low][1] <= points[high][1] - points[middle][1]
        else ((middle, high), low, "B", "F")
    )
    left, right = sorted(pair, key=lambda i: points[i][0])
    codes = {left: f"{here}L", right: f"{here}R", lone: f"{there}M"}
    return codes[0], codes[1], codes[2]


def _outward(at: Plan, others: list[Plan]) -> Plan:
    """Unit vector out of a triangle's corner, along the line that halves its angle."""
    x = y = 0.0
    for p in others:
        size = math.dist(at, p) or 1.0
        x, y = x - (p[0] - at[0]) / size, y - (p[1] - at[1]) / size
    size = math.hypot(x, y)
    return (x / size, y / size) if size > 1e-6 else (0.0, -1.0)


def measure(brief: Brief, height: float) -> Measures:
    """Work out supports, legs and levels from the seat down to the floor."""
    f = brief.frame
    leg, top_rail, lower_rail = (
        find_profile(p) for p in (f.sections.legs, f.sections.top_rails, f.sections.lower_rails)
    )
    points = supports(brief)
    codes = _corners(points)
    leg_top = height - f.base_thickness
    bottom = brief.feet.height + brief.feet.pad_thickness
    legs = {
        code: CornerLeg(
            code=code, leg=leg, top=(*points[i], leg_top), out=_outward(points[i], [p for p in points if p != points[i]]),
            angle=math.radians(f.splay), bottom=bottom,
        )
        for i, code in sorted(enumerate(codes), key=lambda item: _ORDER.index(item[1]))
    }  # fmt: skip
    # Counter-clockwise from above, so that left comes first as seen from outside.
    round_trip = (
        (("front", "FL", "FR"), ("right", "FR", "BM"), ("left", "BM", "FL"))
        if "BM" in codes
        else (("right", "FM", "BR"), ("back", "BR", "BL"), ("left", "BL", "FM"))
    )
    sides = tuple(Side(name=name, left=legs[a], right=legs[b]) for name, a, b in round_trip)
    return Measures(brief=brief, leg=leg, top_rail=top_rail, lower_rail=lower_rail, seat=height, legs=legs, sides=sides,
                    mounts=codes, leg_bottom=bottom, leg_top=leg_top)  # fmt: skip


def draft(brief: Brief, height: float) -> Draft:
    """Draft a tripod whose seat, the upper face of its blocks, is ``height`` mm above the floor."""
    m = measure(brief, height)
    f = brief.frame
    x0, y0, x1, y1 = m.extent
    d = Draft(layout=NAME, brief=brief, seat=height, ring_top=m.leg_top, length=x1 - x0, depth=y1 - y0)
    for code, leg in m.legs.items():
        d.members.append(leg.member())
        x, y, _ = leg.middle(m.leg_bottom)
        add_foot(d, code, f"leg {code}", x, y)
        d.plates[-1] = _turned(d.plates[-1], leg)
    rings = [("top rail", Role.TOP_RAIL, m.top_rail, m.leg_top)]
    if f.lower_ring:
        rings.append(("lower rail", Role.LOWER_RAIL, m.lower_rail, f.lower_ring))
    for prefix, role, profile, top in rings:
        d.members += [side.rail(prefix, role, profile, top) for side in m.sides]
        d.joints += _joints(m, prefix, profile, top)
    d.seat_joints += [f"top rail corner {code}" for code in m.legs]
    density = find_steel(brief.steel.grade).density
    for k, code in enumerate(m.mounts):
        x, y, _ = m.legs[code].top
        d.mounts.append(Mount(name=f"mount {k + 1}", point=(x, y, height), member=f"leg {code}", hole=0.0))
        block = flat_plate(
            f"block {k + 1}", PlateRole.BLOCK, outline=rectangle(m.block, m.block), at=(x, y), bottom=m.leg_top,
            thickness=f.base_thickness, density=density, on=(f"mount {k + 1}",),
            note="the plate rests on it, unscrewed: face the three in one plane after welding",
        )  # fmt: skip
        d.plates.append(_turned(block, m.legs[code]))
    if f.lower_ring and f.shelf == "sheet":
        d.plates.append(_shelf(m, density))
    d.bays += [_bay(m, side) for side in m.sides]
    d.findings += tripod_findings(m, d)
    return d


def _turned(plate: Plate, leg: CornerLeg) -> Plate:
    """Turn a square plate so that its edges run along the leg's."""
    (x, y), h = leg.out, 1 / math.sqrt(2)
    u = (h * (x + y), h * (y - x), 0.0)
    return replace(plate, u_axis=u, v_axis=(-u[1], u[0], 0.0))


def _joints(m: Measures, prefix: str, profile: Profile, top: float) -> list[Joint]:
    out = []
    weld = m.brief.welding
    wide = {s.name: s.landing(profile, top) for s in m.sides}
    for code, leg in m.legs.items():
        own = [s for s in m.sides if code in (s.left.code, s.right.code)]
        fits: list[FitUp] = []
        if profile.closed and m.leg.closed:
            fits = [
                tube_branch(wide[s.name], profile.wall_design, m.leg, m.leg.width, weld.leg, weld.process)
                for s in own
            ]
        out.append(
            Joint(name=f"{prefix} corner {code}", kind="rails on leg", fit_ups=tuple(fits),
                  members=(f"leg {code}", *(f"{prefix} {s.name}" for s in own)), point=leg.middle(top - profile.height / 2))
        )  # fmt: skip
    return out


def _bay(m: Measures, side: Side) -> Bay:
    f = m.brief.frame
    # Faces that look past each other and legs that lean turn a brace's end corners up and down, a steep one's most.
    level = max(f.lower_ring, m.leg_bottom)
    steep = max(1.0, (m.leg_top - level) / max(math.dist(*side.ends(m.leg_top)), 1.0))
    spare = max(side.skew(z) for z in (m.leg_bottom, m.leg_top)) * steep + math.sin(math.radians(f.splay))
    brace = find_profile(f.sections.braces)
    spare *= max(brace.width, brace.height) / 2
    spare += f.shelf_thickness if f.lower_ring and f.shelf == "sheet" else 0.0
    spare = min(spare, (m.leg_top - level) / 4)
    low, top = level + spare, m.leg_top - m.top_rail.height - spare
    (a, b), (d, c) = side.ends(low), side.ends(top)
    n = cross(minus(b, a), minus(d, a))
    size = math.hypot(*n) or 1.0
    left, right = side.left.code, side.right.code
    below = (f"lower rail corner {left}", f"lower rail corner {right}") if f.lower_ring else ("", "")
    return Bay(
        name=side.name, side=side.name, left=f"leg {left}", right=f"leg {right}",
        bottom=f"lower rail {side.name}" if f.lower_ring else "", top=f"top rail {side.name}", corners=(a, b, c, d),
        normal=(n[0] / size, n[1] / size, n[2] / size),
        joints=(*below, f"top rail corner {right}", f"top rail corner {left}"),
    )  # fmt: skip


def _shelf(m: Measures, density: float) -> Plate:
    """Return a sheet on the lower rails, flush with their outer faces and cut out round the legs' inner faces."""
    f = m.brief.frame
    return flat_plate(
        "shelf", PlateRole.SHELF, outline=_shelf_outline(m), at=(0.0, 0.0), bottom=f.lower_ring,
        thickness=f.shelf_thickness, density=density,
        note="lies on the lower rails: fix it with short stitches, never a continuous weld",
        on=tuple(f"lower rail corner {code}" for code in m.legs),
    )  # fmt: skip


def _shelf_outline(m: Measures) -> NDArray[np.float64]:
    """Counter-clockwise outline: along each rail's outer face to the leg, round the leg's inner edge, and on."""
    f, half = m.brief.frame, m.lower_rail.width / 2
    clear = m.brief.welding.leg + NOTCH_SPARE  # the rails' welds stand there
    z = f.lower_ring + f.shelf_thickness  # leaning legs come in as they rise
    points: list[Plan] = []
    for side in m.sides:
        x, y = side.way(f.lower_ring - m.lower_rail.height / 2)
        a, _ = side.ends(f.lower_ring - m.lower_rail.height / 2)
        edge = (a[0] + half * y, a[1] - half * x)
        for leg, n in zip((side.left, side.right), side.normals, strict=True):
            p = leg.on_face(n, z)
            t = (clear + n[0] * (p[0] - edge[0]) + n[1] * (p[1] - edge[1])) / (n[0] * x + n[1] * y)
            points.append((edge[0] + t * x, edge[1] + t * y))
        x, y, _ = side.right.section(z)[0]
        far = 1.0 - clear * math.sqrt(2.0) / math.hypot(x, y)  # along the corner's bisector, towards the middle
        points.append((x * far, y * far))
    return np.array(points)

"""Layout ``column``: one column on a base plate or a base of runners, a head plate under the machine."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from framecore.brief.model import Brief
from framecore.catalogue import profile as find_profile
from framecore.catalogue import steel as find_steel
from framecore.catalogue import thread as find_thread
from framecore.catalogue.model import Profile, Shape
from framecore.frame._build import box_bar, flat_plate, rectangle
from framecore.frame._column_checks import column_findings
from framecore.frame._foot import add_foot, add_tapped_foot
from framecore.frame._gussets import add_gussets
from framecore.frame._ring import rail_across, rail_along
from framecore.frame._seat import holes_on_stand
from framecore.frame._top import top_build_up
from framecore.frame.draft import Draft
from framecore.frame.fitup import tube_branch
from framecore.frame.model import Hole, Joint, Mount, Plated, PlateRole, Role
from framecore.frame.slotted import SlotCut, machine_slots

NAME = "column"
COLUMN_HEAD = "column head"
COLUMN_FOOT = "column foot"
CORNERS: tuple[tuple[str, int, int], ...] = (("FL", -1, -1), ("FR", 1, -1), ("BL", -1, 1), ("BR", 1, 1))
# From a hole's middle to the plate's edge in hole diameters; 1.2 is the least EN 1993-1-8 table 3.3 allows
# (from memory), half as much again is common practice.
EDGE = 1.8
GAP = 4.0  # between a shelf and what it is notched round, mm
GUSSET_LAND = 5.0  # plate past a gusset's toe, mm


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ColumnMeasures:
    """Levels and sizes that the parts share, mm; boxes are x0, x1, y0, y1."""

    brief: Brief
    column: Profile
    base: Profile
    seat: float
    thickness: float  # of base, foot and head plate
    cross: bool
    gussets: bool
    clearance: float
    points: tuple[tuple[float, float], ...]
    cuts: tuple[SlotCut, ...]  # of the points
    head: tuple[float, float, float, float]
    land: float  # plate beside the column for its fillet

    @property
    def head_top(self) -> float:
        """Upper face of the head plate: the seat, or what carries a tray and its blocks."""
        return self.seat - top_build_up(self.brief)

    @property
    def top(self) -> float:
        """Where the column ends: the head plate's lower face."""
        return self.head_top - self.thickness

    @property
    def bar_top(self) -> float:
        """Upper face of the runners and the spine."""
        feet = self.brief.feet
        return feet.height + feet.pad_thickness + self.base.height

    @property
    def bottom(self) -> float:
        """Where the column begins: the upper face of the plate it stands on."""
        return (self.bar_top if self.cross else self.brief.feet.height) + self.thickness

    @property
    def foot_plate(self) -> tuple[float, float]:
        """Sizes of the plate between spine and column."""
        braces = self.brief.braces
        beside = "gussets" in (braces.left, braces.right)  # gussets stand on it, to the spine's left and right
        past = max(self.land, braces.gusset + GUSSET_LAND) if beside else self.land
        return self.column.width + 2 * past, self.column.height + 2 * self.land

    @property
    def inset(self) -> float:
        """From the edges of the base to the middle of a foot: its base stays under the plate or the pad under its bar."""
        feet = self.brief.feet
        if self.cross:
            return feet.pad / 2
        return max(feet.base / 2, 1.5 * find_thread(feet.thread).diameter)

    @property
    def foot_at(self) -> tuple[float, float]:
        """Distances of the feet from the middle."""
        f = self.brief.frame
        across = self.base.width / 2 if self.cross else self.inset
        return f.length / 2 - across, f.depth / 2 - self.inset


def measure(brief: Brief, height: float) -> ColumnMeasures:
    """Work out levels and plate sizes."""
    f = brief.frame
    column, base = find_profile(f.sections.column), find_profile(f.sections.base)
    clearance = float(getattr(find_thread(brief.machine.bolt), brief.mounting.hole_class))
    points = holes_on_stand(brief)
    b = brief.braces
    gussets = "gussets" in (b.front, b.back, b.left, b.right)
    land = 2 * brief.welding.leg + 5.0
    # The head covers the column with its fillet, the gussets, and every hole with its edge.
    past = max(land, b.gusset + GUSSET_LAND) if gussets else land
    edge = EDGE * clearance
    x, y = column.width / 2 + past, column.height / 2 + past
    cuts = machine_slots(brief)
    xs = [(p[0], edge + c.half_x) for p, c in zip(points, cuts, strict=True)]
    ys = [(p[1], edge + c.half_y) for p, c in zip(points, cuts, strict=True)]
    head = (
        math.floor(min([-x, *(v - e for v, e in xs)])), math.ceil(max([x, *(v + e for v, e in xs)])),
        math.floor(min([-y, *(v - e for v, e in ys)])), math.ceil(max([y, *(v + e for v, e in ys)])),
    )  # fmt: skip
    return ColumnMeasures(
        brief=brief, column=column, base=base, seat=height, thickness=f.base_thickness, cross=f.base == "cross",
        gussets=gussets, clearance=clearance, points=points, cuts=cuts, head=head, land=land,
    )  # fmt: skip


def draft(brief: Brief, height: float) -> Draft:
    """Draft the frame of a column stand whose head plate's upper face is ``height`` mm above the floor."""
    m = measure(brief, height)
    f = brief.frame
    d = Draft(layout=NAME, brief=brief, seat=m.seat, ring_top=m.head_top, length=f.length, depth=f.depth,
              style=(f.base, m.gussets))  # fmt: skip
    d.findings += column_findings(m)
    (_add_cross if m.cross else _add_base_plate)(d, m)
    d.members.append(
        box_bar("column", Role.COLUMN, m.column, start=(0.0, 0.0, m.bottom), end=(0.0, 0.0, m.top),
                y_axis=(1.0, 0.0, 0.0), z_axis=(0.0, 1.0, 0.0))
    )  # fmt: skip
    _add_foot_joint(d, m)
    _add_head(d, m)
    if m.gussets:
        add_gussets(d, m)
    d.seat_joints.append(COLUMN_HEAD)
    return d


def _add_base_plate(d: Draft, m: ColumnMeasures) -> None:
    f = m.brief.frame
    d.plates.append(
        flat_plate("base plate", PlateRole.BASE, outline=rectangle(f.length, f.depth), at=(0.0, 0.0),
                   bottom=m.brief.feet.height, thickness=m.thickness,
                   density=find_steel(m.brief.steel.grade).density, on=tuple(f"foot {c}" for c, *_ in CORNERS))
    )  # fmt: skip
    x, y = m.foot_at
    for corner, sx, sy in CORNERS:
        add_tapped_foot(d, corner, "base plate", "", sx * x, sy * y)
        d.plated.append(
            Plated(kind="strip", plate="base plate", ends=(COLUMN_FOOT, f"foot {corner}"),
                   width=strip_width(m, x, y, (f.length, f.depth)), thickness=m.thickness)
        )  # fmt: skip


def _add_cross(d: Draft, m: ColumnMeasures) -> None:
    """Two runners from front to back and a spine between them, every end sawn square; feet under the four corners."""
    f, w, z = m.brief.frame, m.base.width, m.bar_top
    x = f.length / 2 - w / 2
    weld = m.brief.welding
    for side, sx in (("left", -1), ("right", 1)):
        d.members.append(
            rail_across(f"base runner {side}", Role.BASE, m.base, -f.depth / 2, f.depth / 2, sx * x, z)
        )  # fmt: skip
    d.members.append(rail_along("base spine", Role.BASE, m.base, -x + w / 2, x - w / 2, 0.0, z))
    fits = (
        (tube_branch(m.base.height, m.base.wall_design, m.base, m.base.height, weld.leg, weld.process),)
        if m.base.closed else ()
    )  # fmt: skip
    for side, sx in (("left", -1), ("right", 1)):
        d.joints.append(
            Joint(name=f"base {side}", kind="spine on runner", members=(f"base runner {side}", "base spine"),
                  point=(sx * x, 0.0, z - m.base.height / 2), fit_ups=fits)
        )  # fmt: skip
    fx, fy = m.foot_at
    for corner, sx, sy in CORNERS:
        add_foot(d, corner, f"base runner {'left' if sx < 0 else 'right'}", sx * fx, sy * fy)
    density = find_steel(m.brief.steel.grade).density
    d.plates.append(
        flat_plate("foot plate", PlateRole.BASE, outline=rectangle(*m.foot_plate), at=(0.0, 0.0), bottom=z,
                   thickness=m.thickness, density=density, on=(COLUMN_FOOT,),
                   note="weld it to the column first, then to the spine")
    )  # fmt: skip
    if f.shelf != "sheet":
        return
    # The foot plate parts the shelf: one sheet before it, one behind, both notched round it and lying on the spine.
    half, out = f.length / 2, f.depth / 2
    p, q, near = m.foot_plate[0] / 2 + GAP, m.foot_plate[1] / 2 + GAP, GAP / 2
    outline = np.array([(-half, near), (-p, near), (-p, q), (p, q), (p, near), (half, near), (half, out), (-half, out)])
    for side, sy in (("front", -1), ("back", 1)):
        d.plates.append(
            flat_plate(f"shelf {side}", PlateRole.SHELF, outline=sy * outline, at=(0.0, 0.0), bottom=z,
                       thickness=f.shelf_thickness, density=density,
                       note="lies on runners and spine: fix it with short stitches, never a continuous weld",
                       on=("base left", "base right", COLUMN_FOOT))
        )  # fmt: skip


def _add_foot_joint(d: Draft, m: ColumnMeasures) -> None:
    if m.cross:
        d.joints.append(
            Joint(name=COLUMN_FOOT, kind="column on base", members=("base spine", "column"),
                  point=(0.0, 0.0, m.bar_top - m.base.height / 2))
        )  # fmt: skip
    else:
        d.joints.append(
            Joint(name=COLUMN_FOOT, kind="column on base", members=("column",), point=(0.0, 0.0, m.bottom))
        )  # fmt: skip


def _add_head(d: Draft, m: ColumnMeasures) -> None:
    x0, x1, y0, y1 = m.head
    d.plates.append(
        flat_plate("head plate", PlateRole.HEAD, outline=rectangle(x1 - x0, y1 - y0), at=((x0 + x1) / 2, (y0 + y1) / 2),
                   bottom=m.top, thickness=m.thickness, density=find_steel(m.brief.steel.grade).density,
                   on=(COLUMN_HEAD,))
    )  # fmt: skip
    # The joint lies at the plate's upper face, so that the strips to the holes are level.
    d.joints.append(
        Joint(name=COLUMN_HEAD, kind="head on column", members=("column",), point=(0.0, 0.0, m.head_top))
    )  # fmt: skip
    for k, ((x, y), cut) in enumerate(zip(m.points, m.cuts, strict=True), 1):
        d.holes.append(
            Hole(owner="head plate", centre=(x, y, m.head_top), axis=(0.0, 0.0, -1.0), diameter=m.clearance,
                 depth=m.thickness, purpose=f"machine foot {k}", slot=cut.slot, slot_axis=cut.axis)
        )  # fmt: skip
        d.mounts.append(Mount(name=f"mount {k}", point=(x, y, m.seat), member="", hole=m.clearance, slot=cut.slot,
                              slot_axis=cut.axis))  # fmt: skip
        d.plated.append(
            Plated(kind="strip", plate="head plate", ends=(COLUMN_HEAD, f"mount {k}"),
                   width=strip_width(m, x, y, (x1 - x0, y1 - y0)), thickness=m.thickness)
        )  # fmt: skip


def strip_width(m: ColumnMeasures, x: float, y: float, plate: tuple[float, float]) -> float:
    """Return the width of an even strip from the column's middle that bends under a load at x, y as the plate does, mm.

    Notes
    -----
    From the column's outline to the load, s away, the plate bends like a strip as wide as it is long. The bar of
    the model is as long as the whole way S to the column's middle, where nothing bends under the column, so its
    width is ``s (S / s)^3``, with no more of s than the plate is wide. Gussets carry the outline out to the square
    through their toes (assumed).

    Source: assumed, and fitted to plates of shells on four feet: a base turns 10 % less to 16 % more and sinks 6 to 18 % more,
    see ``tests/validation/test_base_plate_shell.py``.
    """
    way = max(math.hypot(x, y), 1e-9)
    a, b = m.column.width / 2, m.column.height / 2
    # Along the ray to x, y the outline of the column is a share of the way.
    if m.column.shape is Shape.ROUND_TUBE:
        share = a / way
    else:
        share = min(a / max(abs(x), 1e-9), b / max(abs(y), 1e-9))
    if m.gussets:
        g = m.brief.braces.gusset
        share = max(share, 1 / max(abs(x) / (a + g) + abs(y) / (b + g), 1e-9))
    free = way * max(1 - share, 0.05)
    return min(free, *plate) * (way / free) ** 3

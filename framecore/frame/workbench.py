"""Layout ``workbench``: a top ring that may reach past its four to eight legs, a top, a backstop, a vice corner.

The legs always stand under the ring with square tops; the lower ring is parted between them. Over each pair of
legs a rail lies across: an end rail of the ring, or a cross rail where the ring reaches past the legs and over
middle legs. The ring lies about the origin, and the bench's length and depth are those of the ring.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from framecore.brief.model import Brief
from framecore.catalogue import steel as find_steel
from framecore.catalogue import thread as find_thread
from framecore.frame._bench import Bench, measure_bench
from framecore.frame._bench_checks import bench_findings
from framecore.frame._build import rectangle
from framecore.frame._posts import ROWS, add_legs, bays, branch_fit, lower_joints, lower_rails
from framecore.frame._ring import rail_across, whole_ring
from framecore.frame._seat import RingRoom, build_seat
from framecore.frame._shelf import add_shelf, top_plate
from framecore.frame._vice import add_vice_braces, add_vice_corner, vice_bearers
from framecore.frame.draft import Draft
from framecore.frame.model import Joint, Plate, PlateRole, Role

NAME = "workbench"
_CORNERS = (("FL", -1, -1), ("FR", 1, -1), ("BL", -1, 1), ("BR", 1, 1))
_COVERED = ("sheet", "wood")


def draft(brief: Brief, height: float) -> Draft:
    """Draft the frame of a bench whose top, or the machine's seat on it, is ``height`` mm above the floor."""
    b = measure_bench(brief, height)
    m, p, f = b.m, b.p, brief.frame
    d = Draft(layout=NAME, brief=brief, seat=m.seat, ring_top=m.ring_top, length=b.length, depth=b.depth,
              style=(f.corners, bool(p.toe)))  # fmt: skip
    add_legs(d, p)
    d.members += whole_ring(
        "top rail", Role.TOP_RAIL, m.top_rail, b.length, b.depth, m.ring_top, mitred=f.corners == "mitred"
    )
    if f.lower_ring:
        d.members += lower_rails(p)
    y = b.depth / 2 - b.width
    for name, x in b.cross_rails.items():
        d.members.append(rail_across(name, Role.TOP_RAIL, m.top_rail, -y, y, x, m.ring_top))
    _add_seat(d, b)
    vice = f.vice_corner != "none"
    if vice:
        add_vice_corner(d, b)
    d.joints += _ring_joints(b)
    if vice:
        add_vice_braces(d, b)
    if f.lower_ring:
        d.joints += lower_joints(p)
    d.joints += _bearer_joints(d, b)
    add_shelf(d, p)
    d.seat_joints += [f"top rail corner {c}" for c, *_ in _CORNERS]
    if brief.top.kind in _COVERED:
        d.plates.append(top_plate(brief, b.length, b.depth, m.ring_top, on=_carriers(b)))
    if brief.extras.backstop:
        d.plates.append(_backstop(b))
    rails = {"front": "top rail front" if b.under_long_rail(-1) else "", "back": "top rail back",
             "left": b.crossing[0], "right": b.crossing[-1]}  # fmt: skip
    d.bays += bays(p, b.under, _leg_tops(b), rails)
    d.findings += bench_findings(d, b)
    return d


def _leg_tops(b: Bench) -> dict[str, str]:
    """Place of a leg -> joint at its top."""
    return {
        b.p.tag(row, k): f"top rail {'corner' if b.at_ring_corner(row, k) else 'at'} {b.p.tag(row, k)}"
        for row, *_ in ROWS
        for k in range(b.p.middle + 2)
    }


def _carriers(b: Bench) -> tuple[str, ...]:
    """Joints that carry the top: the ring's corners and the leg tops."""
    return tuple(dict.fromkeys([f"top rail corner {c}" for c, *_ in _CORNERS] + list(_leg_tops(b).values())))


def _ring_joints(b: Bench) -> Iterator[Joint]:
    m, p, w = b.m, b.p, b.width
    z = m.ring_top - m.top_rail.height / 2
    tops = _leg_tops(b)
    branch = branch_fit(m.brief, m.top_rail, m.top_rail, m.top_rail.height, m.top_rail.height)
    for corner, sx, sy in _CORNERS:
        if tops[corner] == f"top rail corner {corner}":
            continue
        rails = (f"top rail {'front' if sy < 0 else 'back'}", f"top rail {'left' if sx < 0 else 'right'}")
        yield Joint(
            name=f"top rail corner {corner}", kind="ring corner", members=rails,
            point=(sx * (b.length - w) / 2, sy * (b.depth - w) / 2, z), fit_ups=(),
        )  # fmt: skip
    for row, side, sy in ROWS:
        along = (f"top rail {side}",) if b.under_long_rail(sy) else ()
        for k, x in enumerate(p.xs):
            tag = p.tag(row, k)
            at_corner = b.at_ring_corner(row, k)
            # Under one rail the leg's top is a branch on its underside; under two of them it stands on both.
            face = branch_fit(m.brief, m.leg, m.top_rail, w, m.leg.height if along else m.leg.width)
            yield Joint(
                name=tops[tag], kind="ring corner on leg" if at_corner else "leg under rail",
                members=(f"leg {tag}", *along, b.crossing[k]), point=(x, p.y(sy), z),
                fit_ups=() if at_corner else (*face, *(branch if along else ())),
            )  # fmt: skip
            if not along and b.crossing[k].startswith("cross"):
                yield Joint(
                    name=f"{b.crossing[k]} {side}", kind="rail on rail", members=(f"top rail {side}", b.crossing[k]),
                    point=(x, sy * (b.depth - w) / 2, z), fit_ups=branch,
                )  # fmt: skip


def _bearer_joints(d: Draft, b: Bench) -> Iterator[Joint]:
    m = b.m
    fits = branch_fit(m.brief, m.bearer, m.top_rail, m.top_rail.height, m.bearer.height)
    for bar in d.members:
        if bar.role is Role.BEARER:
            for _, side, sy in ROWS:
                yield Joint(
                    name=f"{bar.name} {side}", kind="bearer on rail", members=(f"top rail {side}", bar.name),
                    point=(bar.start.point[0], sy * (b.depth - b.width) / 2, m.ring_top - m.top_rail.height / 2),
                    fit_ups=fits,
                )  # fmt: skip


def _add_seat(d: Draft, b: Bench) -> None:
    """Add bearers under the machine's holes, or the plain bench's own between what crosses the ring anyway."""
    brief, m = d.brief, b.m
    if brief.machine.holes or brief.frame.bearers_at:
        # Bearers that follow the holes are told what they run into with the bench; fixed ones must know it here.
        across = tuple(b.cross_rails.items()) if brief.frame.bearers_at else ()
        room = RingRoom(length=b.length, depth=b.depth, width=b.width, corner=m.top_rail.corner, top=m.ring_top, across=across)
        clearance = float(getattr(find_thread(brief.machine.bolt), brief.mounting.hole_class))
        seat = build_seat(
            brief, m.bearer, room, seat=m.seat, clearance=clearance,
            has_top=brief.top.kind in _COVERED, top_thickness=m.top_thickness,
        )  # fmt: skip
        d.members += seat.bearers
        d.mounts += seat.mounts
        d.holes += seat.holes
        d.findings += seat.findings
        return
    y = b.depth / 2 - b.width
    for n, x in enumerate(bearer_places(b), 1):
        d.members.append(rail_across(f"bearer {n}", Role.BEARER, m.bearer, -y, y, x, m.ring_top))


def bearer_places(b: Bench) -> tuple[float, ...]:
    """Return x of a plain bench's bearers: each goes where the top is carried at the widest spacing so far."""
    w, half = b.width, b.m.bearer.width / 2
    taken = [(x, w / 2) for x in b.cross_rails.values()]
    taken += [(s * (b.length - w) / 2, w / 2) for s in (-1, 1)]
    if b.m.brief.frame.vice_corner != "none":
        taken += [(x, half) for x in vice_bearers(b)]
    taken.sort()
    gaps = [(x0 + r0, x1 - r1) for (x0, r0), (x1, r1) in pairwise(taken)]
    count = [0] * len(gaps)
    for _ in range(b.m.brief.frame.bearers):
        widest = max(range(len(gaps)), key=lambda k: (gaps[k][1] - gaps[k][0]) / (count[k] + 1))
        count[widest] += 1
    return tuple(
        x0 + (x1 - x0) * (i + 1) / (n + 1) for (x0, x1), n in zip(gaps, count, strict=True) for i in range(n)
    )


def _backstop(b: Bench) -> Plate:
    """Return the strip against the rear edge of the top, from its underside up past its face."""
    brief, m = b.m.brief, b.m
    top = brief.top
    past = top.overhang if top.kind in _COVERED else 0.0
    length = b.length + 2 * past
    # A bare ring carries it on the back rail's outer face; no deeper than the rail's flat.
    low = m.ring_top if top.kind in _COVERED else b.under + m.top_rail.corner
    high = m.seat + brief.extras.backstop
    return Plate(
        name="backstop", role=PlateRole.BACKSTOP, thickness=brief.extras.sheet, outline=rectangle(length, high - low),
        origin=(0.0, b.depth / 2 + past, (low + high) / 2), u_axis=(-1.0, 0.0, 0.0), v_axis=(0.0, 0.0, 1.0),
        density=find_steel(brief.steel.grade).density, on=tuple(f"top rail corner {c}" for c in ("BL", "BR")),
        note=(
            "screw it to the top's rear edge, sharp edges broken" if top.kind == "wood"
            else "short stitches, never a continuous weld; sharp edges broken"
        ),
    )  # fmt: skip

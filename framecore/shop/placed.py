"""Where the bolts, nuts, washers and screws sit: plain prisms to be drawn, named as the bought list names them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from framecore.brief.model import Brief
from framecore.catalogue import thread as find_thread
from framecore.frame._casters import THICK
from framecore.frame.model import Frame, Hole, Mount
from framecore.seat.hardware import full_nut, thin_nut
from framecore.seat.turned import BoltSet, SeatParts
from framecore.shop._wheels import STEM

HEXAGON, SHANK, DISC = 6, 8, 12  # sides of the prisms


@dataclass(frozen=True, slots=True, kw_only=True)
class Body:
    """An upright prism.

    Attributes
    ----------
    name : "holding-down bolt 1", "nut 1", "washers 1", "jacking screw 1 a", "lock nut 1 a", "lock nut FL", ...
    host : part it sits on; ``out`` +1 where it stands on top of that part, -1 where it hangs under it
    stack : bodies on one axis share it and come in order away from the host
    at : x, y of its axis; ``low``, ``high`` z of its ends, mm
    sides : 6 a hexagon, 8 or 12 for round; ``radius`` over the corners, mm
    """

    name: str
    host: str
    out: int
    stack: str
    at: tuple[float, float]
    low: float
    high: float
    sides: int
    radius: float


def bodies(brief: Brief, frame: Frame, seat: SeatParts) -> tuple[Body, ...]:
    """Return the prisms of all that holds and lifts the machine, and of the feet's lock nuts and casters' nuts."""
    held: dict[str, list[Hole]] = {}
    jacks: dict[str, list[Hole]] = {}
    for h in frame.holes:
        word, _, number = h.purpose.rpartition(" ")
        if word == "machine foot":
            held.setdefault(number, []).append(h)
        elif h.purpose.startswith("jack "):
            jacks.setdefault(h.purpose.split(" ")[1], []).append(h)
    mounts = {m.name: m for m in frame.mounts}
    out: list[Body] = []
    for bolts in seat.bolts:
        for name in bolts.mounts:
            number = name.removeprefix("mount ")
            out += _mount(brief, seat, bolts, mounts[name], held.get(number, []), jacks.get(number, []))
    return (*out, *_feet(brief, frame), *_casters(frame))


def _mount(
    brief: Brief, seat: SeatParts, bolts: BoltSet, mount: Mount, holes: list[Hole], jacks: list[Hole]
) -> Iterator[Body]:
    number = mount.name.removeprefix("mount ")
    x, y, z = mount.point
    top = max((*holes, *jacks), key=lambda h: h.centre[2], default=None)
    foot = min(holes, key=lambda h: h.centre[2], default=None)
    if top is None or foot is None:
        return
    floor_of_machine = z + bolts.gap
    under_head = floor_of_machine + bolts.foot + bolts.washer.thickness
    thread, disc = bolts.thread, bolts.washer
    bolt, washers = f"holding-down bolt {number}", f"washers {number}"
    hollow = seat.screw is not None and seat.screw.hollow

    def up(name: str, low: float, high: float, sides: int, radius: float) -> Body:
        return Body(name=name, host=top.owner, out=1, stack=bolt, at=(x, y), low=low, high=high, sides=sides, radius=radius)

    def down(name: str, low: float, high: float, sides: int, radius: float) -> Body:
        return Body(name=name, host=foot.owner, out=-1, stack=f"{bolt} below", at=(x, y), low=low, high=high, sides=sides,
                    radius=radius)  # fmt: skip

    begins = top.centre[2]
    for h in jacks:
        yield from _jack(seat, h, floor_of_machine)
    if seat.shim is not None and bolts.gap > 0:
        yield up(f"shims {number}", z, floor_of_machine, DISC, seat.shim.side / 2)
    if hollow or seat.shim is not None:
        begins = max(begins, floor_of_machine)
    yield up(bolt, begins, under_head, SHANK, thread.diameter / 2)
    yield up(washers, under_head - disc.thickness, under_head, DISC, disc.diameter / 2)
    yield up(bolt, under_head, under_head + bolts.head.height, HEXAGON, bolts.head.across_corners / 2)
    under = z - bolts.steel
    nut = under - disc.thickness
    yield down(washers, nut, under, DISC, disc.diameter / 2)
    yield down(f"nut {number}", nut - bolts.nut.height, nut, HEXAGON, bolts.nut.across_corners / 2)
    end = under_head - bolts.length
    if end < nut - bolts.nut.height - 1e-6:
        yield down(bolt, end, nut - bolts.nut.height, SHANK, thread.diameter / 2)


def _jack(seat: SeatParts, hole: Hole, foot: float) -> Iterator[Body]:
    """One jacking screw from its block up to the machine's foot, with its lock nut."""
    s, nut = seat.screw, seat.lock_nut
    if s is None or nut is None:
        return
    x, y, block = hole.centre
    place = hole.purpose.removeprefix("jack ")
    name = f"{'hollow ' if s.hollow else ''}jacking screw {place}"
    stack = f"holding-down bolt {place}" if s.hollow else name
    locked = min(block + nut.size.height, foot - s.head)
    for label, low, high, sides, radius in (
        (f"lock nut {place}", block, locked, HEXAGON, nut.size.across_corners / 2),
        (name, locked, foot - s.head, SHANK, s.thread.diameter / 2),
        (name, foot - s.head, foot, HEXAGON, s.blank_head.across_corners / 2),
    ):
        if high > low + 1e-6:
            yield Body(
                name=label, host=hole.owner, out=1, stack=stack, at=(x, y), low=low, high=high, sides=sides, radius=radius
            )


def _feet(brief: Brief, frame: Frame) -> Iterator[Body]:
    """The lock nuts of the feet, up against what their studs stand in."""
    if not frame.feet:
        return
    nut = thin_nut(brief.feet.thread)
    for f in frame.feet:
        corner, low = f.name.removeprefix("foot "), f.top[2] - nut.height
        if low > f.base[2] + f.base_height - 1e-6:
            yield Body(name=f"lock nut {corner}", host=f.pad, out=-1, stack=f.name, at=(f.top[0], f.top[1]), low=low,
                       high=f.top[2], sides=HEXAGON, radius=nut.across_corners / 2)  # fmt: skip


def _casters(frame: Frame) -> Iterator[Body]:
    """The nuts above and below the brackets that casters hang in."""
    if not frame.casters:
        return
    nut, radius = full_nut(STEM), find_thread(STEM).diameter / 2
    for h in frame.holes:
        if h.purpose.startswith("caster ") and h.axis[2] < -0.5:
            x, y, z = h.centre
            name = f"nuts {h.purpose}"
            for out, low, high, sides, wide in (
                (1, z, z + nut.height, HEXAGON, nut.across_corners / 2),
                (1, z + nut.height, z + nut.height + radius, SHANK, radius),
                (-1, z - THICK - nut.height, z - THICK, HEXAGON, nut.across_corners / 2),
            ):
                yield Body(name=name, host=h.owner, out=out, stack=f"{name} {out}", at=(x, y), low=low, high=high, sides=sides,
                           radius=wide)  # fmt: skip

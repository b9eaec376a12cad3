"""What is drawn beside the parts' own meshes: rims of holes, studs of feet, stems of casters, bolts and nuts. No toolkit."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from framecore.catalogue import thread
from framecore.fem.model import cross
from framecore.frame.model import Vector
from framecore.shop.placed import bodies
from framecore.stand.model import Stand

Floats = NDArray[np.float64]
Ints = NDArray[np.int32]
_SIDES = 8
STEM = 12.0  # thread of a caster's stem, mm
_TURN = np.linspace(0, 2 * np.pi, _SIDES, endpoint=False)
_CIRCLE = np.column_stack([np.cos(_TURN), np.sin(_TURN), np.zeros(_SIDES)])
_RIM = np.array([np.cos(np.arange(16) * np.pi / 8), np.sin(np.arange(16) * np.pi / 8)])
_RIM_WAY = np.sign(np.round(_RIM[0], 6))  # which end of a slot a point of its rim belongs to
# Triangles round a stud: its lower ring is numbered first, then the upper one.
_AROUND = np.array(
    [t for k in range(_SIDES) for n in [(k + 1) % _SIDES] for t in ((k, n, n + _SIDES), (k, n + _SIDES, k + _SIDES))]
)


def _part_numbers(stand: Stand) -> dict[str, int]:
    return {name: k for k, name in enumerate(stand.solids.layout.parts)}


def rims(stand: Stand) -> tuple[Floats, Ints]:
    """(r, 16, 3): rims of holes and slots on the face the drill enters, lifted a hair so that they show; their parts.

    They turn counter-clockwise seen from where the drill comes. Holes that are drilled from below are left out.
    """
    holes = [h for h in stand.frame.holes if h.axis[2] < 0.5]
    number = _part_numbers(stand)
    if not holes:
        return np.zeros((0, 16, 3)), np.zeros(0, np.int32)
    way = -np.array([h.axis for h in holes])
    # Along the slot, or along anything square to the drill.
    level = np.where(np.abs(way[:, 2:]) > 0.9, (1.0, 0.0, 0.0), (0.0, 0.0, 1.0))
    slot = np.array([h.slot for h in holes])[:, None]
    first = np.where(slot > 0, np.array([h.slot_axis for h in holes]), level)
    first = first - (first * way).sum(1, keepdims=True) * way
    first /= np.linalg.norm(first, axis=1, keepdims=True)
    second = cross(way, first)
    radius = np.array([h.diameter for h in holes])[:, None] / 2
    over = radius * _RIM[0] + slot / 2 * _RIM_WAY
    up = radius * _RIM[1]
    centre = np.array([h.centre for h in holes]) + 0.6 * way
    found = centre[:, None] + over[:, :, None] * first[:, None] + up[:, :, None] * second[:, None]
    return found, np.array([number[h.owner] for h in holes], np.int32)


def studs(stand: Stand) -> tuple[Floats, Ints]:
    """(s, t, 3, 3): triangles, without ends, of the studs of feet and the stems of casters; (s,) whose they are."""
    frame, number = stand.frame, _part_numbers(stand)
    rods = [
        (thread(f.thread).diameter / 2, (f.base[0], f.base[1], f.base[2] + f.base_height), f.top, number[f.name])
        for f in frame.feet
    ]
    rods += [(STEM / 2, low, high, number[name]) for name, low, high in _stems(stand)]
    radius = np.array([r for r, *_ in rods]).reshape(-1, 1, 1)
    low, high = (np.array([rod[k] for rod in rods]).reshape(-1, 1, 3) for k in (1, 2))
    ends = np.concatenate([low + radius * _CIRCLE, high + radius * _CIRCLE], axis=1)
    return ends[:, _AROUND], np.array([rod[3] for rod in rods], np.int32)


def _stems(stand: Stand) -> Iterator[tuple[str, Vector, Vector]]:
    """Yield each caster that hangs under a level bracket, with the ends of its stem: wheel and bracket."""
    under = {h.purpose: h for h in stand.frame.holes if h.purpose.startswith("caster") and h.axis[2] < -0.5}
    for c in stand.frame.casters:
        hole = under.get(c.name)
        if hole is not None:
            x, y, z = hole.centre
            yield c.name, (x, y, c.lift + c.wheel), (x, y, z - hole.depth)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Small:
    """Bolts, nuts, washers and screws as closed prisms.

    Attributes
    ----------
    names : what each is called; bodies of one bolt share a name
    triangles : (n, 3, 3) mm, counter-clockwise from outside; ``face_name`` (n,) index into ``names``;
        ``face_body`` (n,) which of the b prisms
    host : (b,) part each sits on; ``base`` (b, 3) the middle of its end towards the host; ``out`` (b,) +1 above the
        host, -1 under it; ``stack`` (b,) number of its axis; ``level`` (b,) its place away from the host, 0 next to it
    """

    names: tuple[str, ...]
    triangles: Floats
    face_name: Ints
    face_body: Ints
    host: Ints
    base: Floats
    out: Ints
    stack: Ints
    level: Ints


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Index:
    """What stays while only sizes and places change; ``plan`` (n, 3, 2) and ``end`` (n, 3) of prisms of radius 1."""

    names: tuple[str, ...]
    face_name: Ints
    face_body: Ints
    stack: Ints
    level: Ints
    plan: Floats
    end: Floats


@lru_cache(maxsize=8)
def _index(found: tuple[tuple[str, str, int], ...]) -> _Index:
    """Number the bodies, given by name, axis and sides."""
    number = {name: k for k, name in enumerate(dict.fromkeys(name for name, *_ in found))}
    stacks: dict[str, list[int]] = {}
    for k, (_, stack, _) in enumerate(found):
        stacks.setdefault(stack, []).append(k)
    on = {k: (s, level) for s, own in enumerate(stacks.values()) for level, k in enumerate(own)}
    prisms = [_prism(sides) for *_, sides in found]
    body = np.repeat(np.arange(len(found), dtype=np.int32), [len(end) for _, end in prisms])
    return _Index(
        names=tuple(number), face_body=body, face_name=np.array([number[n] for n, *_ in found], np.int32)[body],
        stack=np.array([on[k][0] for k in range(len(found))], np.int32),
        level=np.array([on[k][1] for k in range(len(found))], np.int32),
        plan=np.concatenate([np.zeros((0, 3, 2)), *(plan for plan, _ in prisms)]),
        end=np.concatenate([np.zeros((0, 3)), *(end for _, end in prisms)]),
    )  # fmt: skip


@lru_cache(maxsize=8)
def _prism(sides: int) -> tuple[Floats, Floats]:
    """Return the triangles of an upright prism of radius 1: (t, 3, 2) in plan, and (t, 3) which end, 0 low, 1 high."""
    turn = np.linspace(0, 2 * np.pi, sides, endpoint=False)
    ring = np.column_stack([np.cos(turn), np.sin(turn)])
    corner, end = [], []
    for k in range(sides):
        n = (k + 1) % sides
        corner += [(k, n, n), (k, n, k)]
        end += [(0, 0, 1), (0, 1, 1)]
    for k in range(1, sides - 1):
        corner += [(0, k + 1, k), (0, k, k + 1)]
        end += [(0, 0, 0), (1, 1, 1)]
    return ring[np.array(corner)], np.array(end, float)


def small_parts(stand: Stand) -> Small:
    """Return what holds and lifts the machine, and the nuts of feet and casters."""
    found = bodies(stand.brief, stand.frame, stand.shop.seat) if stand.shop.seat is not None else ()
    order = _index(tuple((b.name, b.stack, b.sides) for b in found))
    size = np.array([(*b.at, b.low, b.high, b.radius, b.out) for b in found]).reshape(-1, 6)
    own = size[order.face_body]
    triangles = np.empty((len(own), 3, 3))
    triangles[..., :2] = own[:, None, :2] + own[:, 4, None, None] * order.plan
    triangles[..., 2] = own[:, 2, None] + (own[:, 3] - own[:, 2])[:, None] * order.end
    number = _part_numbers(stand)
    base = size[:, :3].copy()
    base[:, 2] = np.where(size[:, 5] > 0, size[:, 2], size[:, 3])
    return Small(
        names=order.names, triangles=triangles, face_name=order.face_name, face_body=order.face_body,
        host=np.array([number[b.host] for b in found], np.int32), base=base, out=size[:, 5].astype(np.int32),
        stack=order.stack, level=order.level,
    )  # fmt: skip

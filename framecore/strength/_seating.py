"""What stands under one foot of the machine, as one bar: jacking screws in a block, shims, or the foot's own boss.

Two screws between block and foot are a stiff pair: E (2 I + 2 A c²) against turning about the level line across
the pair, but only 24 E I / g³ against shifting, as nothing braces them. A beam with shear holds both exactly. Block
and screws above each other are one such beam too, placed at the elastic centre of the whole.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

from framecore.brief.model import Brief
from framecore.catalogue import thread as find_thread
from framecore.frame._blocks import BESIDE, ROUND, jack_diagonal, jack_place
from framecore.frame.model import Mount, Vector

E, G = 205_000.0, 79_000.0
SHEAR = 0.9  # shear area of a round bar over its area
_SQUARE_J, _SQUARE_SHEAR = 0.1406, 5 / 6  # of a square: J over b^4, shear area over area
_BOSS = 2.5  # machine feet and what lies flat under them are this many bolt diameters wide (assumed)
_LEAST_FREE = 0.5  # of the screw's diameter: its lock nut lies in the gap whatever the gap is
_LEAST_RING = 0.2  # of a hollow screw's root area: one bored away is told of and not solved
_FOOT = 2.0  # bolt diameters: foot thickness where it is not measured (assumed)
HELD = (
    "jacking screws are held at both ends, by the lock nut on the block and by their flat ends under the foot; holding-down "
    "bolts are tight and pull beside them, but hold nothing sideways"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class FootBar:
    """A bar of steel from ``low`` mm above the seat, ``length`` mm long; ends tied to seat and foot by rigid arms.

    ``i_y`` bends about ``y``, the level line through both screws, ``i_z`` about the level line across it.
    ``sideways`` N/mm: force that shifts the foot's screws by 1 mm across their softer way, both ends held from turning.
    """

    low: float
    length: float
    area: float
    i_y: float
    i_z: float
    j: float
    shear_y: float
    shear_z: float
    y: Vector
    sideways: float
    assumption: str


def foot_bar(brief: Brief, mount: Mount, rise: float, under: float) -> FootBar:
    """Return the bar under a foot ``rise`` mm above the seat; ``under`` mm of steel that the bolt goes through."""
    m, bolt = brief.mounting, brief.machine.bolt
    if m.seating not in (BESIDE, ROUND) or not mount.hole or m.jack <= 0:
        d = find_thread(bolt)
        solid = m.jack <= 0 or m.seating == "shims"
        return _plain(_BOSS * d.diameter if solid else d.root_diameter, rise, solid, m.seating == "shims")
    foot = m.foot_thickness or _FOOT * find_thread(bolt).diameter
    block = m.block_height if m.block_height <= m.jack else 0.0
    turn = jack_diagonal(mount.slot, mount.slot_axis)
    return _jacked(m.seating, bolt, m.screw, m.block, block, mount.hole, mount.slot, mount.slot_axis, turn, rise,
                   foot + rise + under)  # fmt: skip


@lru_cache(maxsize=64)
def _plain(d: float, rise: float, solid: bool, shims: bool) -> FootBar:
    area, i = math.pi * d * d / 4, math.pi * d**4 / 64
    shear = SHEAR * area
    text = f"machine feet taken as solid bosses {_BOSS:g} bolt diameters wide" if solid else ""
    text = f"shims taken as solid steel {_BOSS:g} bolt diameters wide under each foot" if shims else text
    return FootBar(low=0.0, length=rise, area=area, i_y=i, i_z=i, j=2 * i, shear_y=shear, shear_z=shear, y=(0.0, 1.0, 0.0),
                   sideways=1 / (rise**3 / (12 * E * i) + rise / (G * shear)), assumption=text)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Piece:
    """A stretch of the bar: length, middle above the seat; compliances by axial load, twist, bending and shear over it."""

    length: float
    middle: float
    axial: float
    twist: float
    turn: tuple[float, float]  # rad / N mm about y and about z
    shift: tuple[float, float]  # mm / N with both ends held from turning: by a force along z and along y


def block_piece(side: float, height: float, hole: float) -> Piece:
    """Return a square block of steel with a hole for the bolt (taken off its area alone)."""
    area, i = side * side - math.pi * hole * hole / 4, side**4 / 12
    shift = height**3 / (12 * E * i) + height / (G * _SQUARE_SHEAR * area)
    return Piece(height, height / 2, height / (E * area), height / (G * _SQUARE_J * side**4), (height / (E * i),) * 2,
                 (shift, shift))  # fmt: skip


def screw_piece(root: float, bore: float, count: int, apart: float, low: float, free: float) -> Piece:
    """Return ``count`` screws side by side, each ``apart`` mm from the bolt, held from turning at both ends."""
    ring = math.pi / 4 * (root**2 - bore**2)
    area = max(ring, _LEAST_RING * math.pi / 4 * root**2)
    i = math.pi / 64 * (root**4 - bore**4) if ring >= area else area * root**2 / 8
    one = free**3 / (12 * E * i) + free / (G * SHEAR * area)
    twist = 1 / (count * (2 * i * G / free + apart**2 / one))
    along, across = count * E * i / free, count * E * (i + area * apart**2) / free
    return Piece(free, low + free / 2, free / (E * count * area), twist, (1 / along, 1 / across), (one / count,) * 2)


@lru_cache(maxsize=64)
def _jacked(
    kind: str, bolt_id: str, screw_id: str, side: float, block: float, hole: float, slot: float, slot_axis: Vector,
    turn: float, rise: float, bolt_length: float,
) -> FootBar:  # fmt: skip
    bolt, screw = find_thread(bolt_id), find_thread(screw_id)
    free = max(rise - block, _LEAST_FREE * screw.diameter)
    apart, _, _ = jack_place(kind, side, hole, screw.diameter, slot, slot_axis)
    two = kind == BESIDE
    screws = screw_piece(screw.root_diameter, 0.0 if two else hole, 2 if two else 1, apart, block, free)
    pieces = (block_piece(side, block, hole), screws) if block > 0 else (screws,)
    return in_one(pieces, E * bolt.stress_area / bolt_length, (math.sqrt(0.5), turn * math.sqrt(0.5), 0.0), screws)


def in_one(pieces: tuple[Piece, ...], bolt: float, y: Vector, screws: Piece) -> FootBar:
    """Return the one beam that does what the pieces do above each other, with a bolt of ``bolt`` N/mm beside them.

    Exact for pushing, twisting and for bending about y. About z it turns and shifts, both ends held, as the pieces
    do, but stands where it must for bending about y: a little too high.
    """
    length = screws.length
    centres, i, shear = [], [], []
    for k in (0, 1):
        turn = sum(p.turn[k] for p in pieces)
        centres.append(sum(p.turn[k] * p.middle for p in pieces) / turn)
        shift = sum(p.shift[k] + p.turn[k] * (p.middle - centres[k]) ** 2 for p in pieces)
        i.append(length / (E * turn))
        shear.append(length / (G * (shift - length**2 * turn / 12)))
    stiff = 1 / sum(p.axial for p in pieces) + bolt
    return FootBar(
        low=centres[0] - length / 2, length=length, area=stiff * length / E, i_y=i[0], i_z=i[1],
        j=length / (G * sum(p.twist for p in pieces)), shear_z=shear[0], shear_y=shear[1], y=y,
        sideways=1 / max(screws.shift), assumption=HELD,
    )  # fmt: skip

"""The floor under the feet: which foot is short, what the feet must bear, reach and grip."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import combinations
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from framecore.brief._frame_parts import Feet
from framecore.brief.model import Brief
from framecore.catalogue import steel as find_steel
from framecore.catalogue import thread as find_thread
from framecore.fem import Assembled, Contact, contact
from framecore.frame.model import Frame
from framecore.strength._ground import Ground, ground_under
from framecore.strength._section import principal
from framecore.units import KILOGRAM_FORCE

if TYPE_CHECKING:
    from framecore.strength.model import Case, ModelMap

Floats = NDArray[np.float64]
_FALL = {"front": (0.0, 1.0), "back": (0.0, -1.0), "left": (1.0, 0.0), "right": (-1.0, 0.0)}
_FLAT = 1e-9  # mm; a gap below this is none
_THIN = 1e-3  # mm2; feet in one line
_STUMP = 5.0  # mm; no foot is shorter
LOCK_NUT = 0.8  # of the stud's diameter, as DIN 934 nuts are high
ENGAGED = 1.0  # thread diameters that a stud should stand in steel


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class FloorAnswer:
    """How the feet meet the floor. Arrays over the feet in their order.

    Attributes
    ----------
    heights : (f,) floor under each foot against their mean, mm; ``measured``: not from slope alone
    rest : the three feet a rigid stand rests on with all feet at mid travel; empty where its centre of mass
        lies outside its feet
    gaps : (f,) mm of air under each foot then; ``gaps_loaded`` the same once the stand has given way under
        its own weight
    short : index of the foot with the widest gap, -1 where none is short; ``rock_gap`` that gap, mm
    turn_out : (f,) mm to turn each foot out (+) or in (-) from mid travel so that the stand is level
    range_needed : mm between the lowest and the highest setting: ``spread`` of the floor's heights + unevenness
    tilt : of the foot's base against the floor's slope when the stand is level, rad
    stud_length : (f,) free stud between floor and pad as it stands, mm; ``stud_k`` (f,) its 3 E I / L^3, N/mm
    leg_length, leg_k : (f,) of the leg above as a cantilever from a rigid top, mm and N/mm; 0 without a leg
    stud_share : (2,) share of the sway along x and y that is the studs' bending
    height_needed : foot height at mid travel that leaves room for travel and lock nut, mm; ``stud_needed`` length of
        stud above the foot's base; ``engaged`` thread in the thinnest pad
    worst_load : (f,) largest press on the floor over all cases and over setting the machine down on any mount, N
    worst_case : per foot what does it
    side : (c,) sideways force on all feet in each case, N; ``slide`` (c,) the same over friction: above 1 it slides
    ground : what lies under the feet
    """

    heights: Floats
    measured: bool
    rest: tuple[int, ...]
    gaps: Floats
    gaps_loaded: Floats
    short: int
    rock_gap: float
    turn_out: Floats
    spread: float
    range_needed: float
    tilt: float
    stud_length: Floats
    stud_k: Floats
    leg_length: Floats
    leg_k: Floats
    stud_share: tuple[float, float]
    height_needed: float
    stud_needed: float
    engaged: float
    worst_load: Floats
    worst_case: tuple[str, ...]
    side: Floats
    slide: Floats
    ground: Ground


def floor_under(brief: Brief, frame: Frame) -> Floats:
    """Return the floor's height under each foot against their mean, (feet,) mm.

    Measured heights where the brief has as many as there are feet, else the fall of the floor.
    """
    given = brief.floor.heights
    if len(given) == len(frame.feet):
        heights = np.array(given)
    else:
        way = np.array(_FALL[brief.floor.falls_to]) * brief.floor.slope / 1000
        heights = np.array([f.base[:2] for f in frame.feet]) @ way
    return np.asarray(heights - heights.mean())


def set_out(brief: Brief, heights: Floats) -> Floats:
    """Return how far each foot is turned out (+) or in (-) from mid travel, (feet,) mm.

    Levelled feet make up for the floor's heights, but none goes in beyond its base: where the floor asks for more
    the stand cannot be levelled, and ``FloorAnswer.range_needed`` says so.
    """
    if brief.feet.set != "levelled":
        return np.zeros(len(heights))
    shortest = max(_STUMP, brief.feet.base_height) - brief.feet.height
    return np.maximum(-heights, min(shortest, 0.0))


def floor_probes(brief: Brief, frame: Frame, cases: tuple[Case, ...], loads: Floats, map_: ModelMap) -> tuple[Floats, Floats]:
    """Return further loads (n, 6, p) and floors (f, p) that only the feet are asked about.

    The first is the stand as set down with every foot at mid travel; the others put the machine down on each
    of its mounts but the first, which is a case of its own.
    """
    probes, under = [loads[:, :, 0]], [floor_under(brief, frame)]
    down = next((k for k, c in enumerate(cases) if c.id == "set down"), None)
    if down is not None:
        blow = brief.limits.impact * brief.machine.mass * KILOGRAM_FORCE
        first = int(map_.mount_nodes[0])
        for mount in map_.mount_nodes[1:].tolist():
            load = loads[:, :, down].copy()
            load[first, 2] += blow
            load[mount, 2] -= blow
            probes.append(load)
            under.append(np.zeros(len(frame.feet)))
    return np.stack(probes, axis=2), np.stack(under, axis=1)


def hold(
    brief: Brief, built: Assembled, displacements: Floats, floor: Floats, loose: tuple[int, ...] = (),
) -> Contact:  # fmt: skip
    """Stand the frame on its floor: feet press only, or press and pull where they are anchored.

    Parameters
    ----------
    displacements : (n, 6, c) on even ground, every foot held
    floor : (f, c) mm
    loose : cases from before the anchors are drawn down, in which feet press only even so
    """
    if brief.floor.anchor == "none":
        # Not started from the last stand's open feet: where letting go sideways has two ends, the same stand
        # must always find the same one.
        return contact(built, displacements, floor=floor)
    model = built.model
    k = model.stiffness[:, 2:3]
    moved = displacements.copy()
    if floor.any():
        # An anchor draws its foot down onto the floor as it lies there.
        drawn = np.zeros_like(displacements)
        drawn[model.spring_nodes, 2] = k * floor
        moved = displacements + built.solve(drawn)
    forces = built.reactions(moved)
    forces[:, 2] += k * floor
    opened, tips, settled = np.zeros(floor.shape, bool), np.zeros(floor.shape[1], bool), np.ones(floor.shape[1], bool)
    if loose:
        at = list(loose)
        free = contact(built, displacements[:, :, at], floor=floor[:, at])
        moved[:, :, at], forces[:, :, at] = free.displacements, free.forces
        opened[:, at], tips[at], settled[at] = free.open, free.tips, free.settled
    return Contact(opened, forces[:, 2].copy(), forces, moved, tips, settled)


def first(held: Contact, count: int) -> Contact:
    """Return the first ``count`` cases."""
    return Contact(
        held.open[:, :count], held.normal_n[:, :count], held.forces[:, :, :count], held.displacements[:, :, :count],
        held.tips[:count], held.settled[:count],
    )  # fmt: skip


def rest_on(
    feet: list[tuple[float, float]], heights: list[float], centre: tuple[float, float]
) -> tuple[tuple[int, ...], list[float]]:
    """Return the three feet a rigid stand rests on and the air under every foot.

    Of all triples of feet that surround the centre of mass it is the one whose plane is highest there: the dual
    of letting the centre sink as low as the floor lets it. No other foot then reaches below the floor.

    Parameters
    ----------
    feet : x, y of each, mm
    heights : of the floor under each, mm
    centre : x, y of the centre of mass, mm

    Returns
    -------
    rest : indices of three feet, empty where none of the triples surrounds the centre
    gaps : mm, zero under the three; all zero where ``rest`` is empty

    Source: statics.
    """
    px, py = centre
    best = -math.inf
    rest: tuple[int, ...] = ()
    for i, j, k in combinations(range(len(feet)), 3):
        (ax, ay), (bx, by), (cx, cy) = feet[i], feet[j], feet[k]
        twice = (bx - ax) * (cy - ay) - (by - ay) * (cx - ax)
        if abs(twice) < _THIN:
            continue
        s = ((bx - px) * (cy - py) - (by - py) * (cx - px)) / twice
        t = ((cx - px) * (ay - py) - (cy - py) * (ax - px)) / twice
        if s >= -_FLAT and t >= -_FLAT and s + t <= 1 + _FLAT:
            level = s * heights[i] + t * heights[j] + (1 - s - t) * heights[k]
            if level > best + _FLAT:
                best, rest = level, (i, j, k)
    if not rest:
        return (), [0.0] * len(feet)
    (ax, ay), (bx, by), (cx, cy) = (feet[n] for n in rest)
    za, zb, zc = (heights[n] for n in rest)
    twice = (bx - ax) * (cy - ay) - (by - ay) * (cx - ax)
    x = ((zb - za) * (cy - ay) - (zc - za) * (by - ay)) / twice
    y = ((zc - za) * (bx - ax) - (zb - za) * (cx - ax)) / twice
    gaps = [za + x * (p - ax) + y * (q - ay) - z for (p, q), z in zip(feet, heights, strict=True)]
    return rest, [0.0 if n in rest or g < _FLAT else g for n, g in enumerate(gaps)]


def floor_answer(
    brief: Brief, frame: Frame, cases: tuple[Case, ...], held: Contact, foot_nodes: NDArray[np.int32],
    sway: tuple[float, float], centre: tuple[float, float, float], mass: float,
) -> FloorAnswer:  # fmt: skip
    """Answer for the feet; ``held`` holds the cases and, after them, the columns of ``floor_probes``."""
    feet, f = brief.feet, len(frame.feet)
    at = [(foot.base[0], foot.base[1]) for foot in frame.feet]
    heights = floor_under(brief, frame)
    c = len(cases)
    rest, gaps = rest_on(at, heights.tolist(), centre[:2])
    short = gaps.index(max(gaps))
    z = held.displacements[foot_nodes, 2, c]
    loaded = np.where(held.open[:, c], z - heights, 0.0)
    stud, steel = find_thread(feet.thread), find_steel(brief.steel.grade)
    length = np.array([foot.top[2] - foot.base[2] for foot in frame.feet]) + set_out(brief, heights)
    stud_k = stud_stiffness(steel.e, stud.root_diameter, length)
    leg_length, leg_k = _legs(frame, steel.e)
    all_k = float(stud_k.sum())
    pads = {foot.pad for foot in frame.feet}
    measured = len(brief.floor.heights) == f
    spread = float(heights.max() - heights.min())
    names = (*(case.id for case in cases), "", *(f"set down on mount {k + 2}" for k in range(held.normal_n.shape[1] - c - 1)))
    # Where a stand falls over its feet have no true loads; where it never stands the springs' forces must do.
    standing = ~held.tips if not held.tips.all() else np.ones_like(held.tips)
    standing[c] = False  # as set down is asked for its gaps alone
    press = np.where(standing, held.normal_n, -np.inf)
    worst = press.argmax(1)
    normal = np.maximum(held.normal_n[:, :c].sum(0), 1e-9)
    side = np.hypot(held.forces[:, 0, :c].sum(0), held.forces[:, 1, :c].sum(0))
    fall = _slope_of(np.array(at), heights) if measured else brief.floor.slope / 1000
    worst_load = np.maximum(press[np.arange(f), worst], 0.0)
    pull = np.where(~held.tips[:c], -held.normal_n[:, :c], 0.0)
    return FloorAnswer(
        heights=heights, measured=measured, rest=rest, gaps=np.array(gaps), gaps_loaded=loaded,
        short=short if gaps[short] > 0.0 else -1, rock_gap=gaps[short],
        turn_out=-heights, spread=spread, range_needed=spread + (0.0 if measured else brief.floor.flatness),
        tilt=math.atan(fall) if feet.set == "levelled" else 0.0,
        stud_length=length, stud_k=stud_k, leg_length=leg_length, leg_k=leg_k,
        stud_share=(sway[0] / all_k, sway[1] / all_k),
        height_needed=feet.base_height + feet.travel + LOCK_NUT * stud.diameter,
        stud_needed=stud_over_base(feet, stud.diameter),
        engaged=min(p.thickness for p in frame.plates if p.name in pads),
        worst_load=worst_load, worst_case=tuple(names[k] for k in worst.tolist()),
        side=side, slide=side / np.maximum(feet.friction * normal, 1e-9),
        ground=ground_under(brief, frame, at, mass, float(worst_load.max()), pull, tuple(case.id for case in cases)),
    )  # fmt: skip


def stud_over_base(feet: Feet, diameter: float) -> float:
    """Return the least length, mm, of a foot's stud above its base: full thread in the pad and the lock nut at every height."""
    return 2 * feet.travel + LOCK_NUT * diameter + max(feet.pad_thickness, ENGAGED * diameter)


def stud_stiffness(e: float, root: float, length: Floats) -> Floats:
    """Return 3 E I / L^3 of studs with a ``root`` diameter, N/mm: cantilevers out of the pad."""
    return np.asarray(3 * e * math.pi * root**4 / 64 / length**3)


def _legs(frame: Frame, e: float) -> tuple[Floats, Floats]:
    """Length and 3 E I / h^3 of the leg over each foot, the weaker way."""
    members = {m.name: m for m in frame.members}
    length, k = [], []
    for foot in frame.feet:
        leg = members.get(foot.leg)
        h = math.dist(leg.start.point, leg.end.point) if leg else 0.0
        section = principal(leg.profile.id) if leg else None
        length.append(h)
        k.append(3 * e * min(section.i_u, section.i_v) / h**3 if section else 0.0)
    return np.array(length), np.array(k)


def _slope_of(at: Floats, heights: Floats) -> float:
    """Fall of the plane that lies best on the floor under the feet, mm/mm."""
    (a, b, _), *_ = np.linalg.lstsq(np.column_stack([at, np.ones(len(at))]), heights, rcond=None)
    return math.hypot(a, b)

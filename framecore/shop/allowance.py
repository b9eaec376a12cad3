"""What each piece is sawn longer, because the welds at its ends pull it shorter.

A bead pulls across itself as it cools. What it takes cannot be foretold closely; an interval can, and the middle of it is
sawn longer. Only an end that butts on its neighbour and is welded there counts: what lies across another piece, or ends
free, keeps its length. The metal is told from the sizes of the joint, without asking where seams have air, so that the cut
plan can have it at once.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from framecore.brief.model import Brief
from framecore.frame.fitup import flare_share
from framecore.frame.model import Frame, Member, Role
from framecore.shop.filler import section
from framecore.strength._welds import laid_leg

BUTT = 0.1  # mm per (mm2 / mm): transverse shrinkage of a joint is about a tenth of its metal over its wall
FILLET_MOST = 0.8  # mm a joint, legs up to three quarters of the wall
SOURCE = "low: 0.1 A / t (Blodgett, Design of Welded Structures, from a copy); high: 0.8 mm a fillet (TWI)"
# Members in level rows between others; uprights and braces are fitted, their length is not read off a tape.
ROWS = (Role.TOP_RAIL, Role.LOWER_RAIL, Role.STRETCHER, Role.BEARER, Role.SLAT, Role.BASE, Role.BEAM)
_STEP = 0.5  # mm that a stop is set to
_PAST = 1.0  # mm past an end, where what it butts on is looked for
_SPOTS = np.array([(0.0, 0.0), (1.0, 1.0), (-1.0, 1.0), (1.0, -1.0), (-1.0, -1.0)])  # middle and corners of a section
_SQUARE, _ACROSS = 0.9, 0.7  # cosines: an end is no mitre, an axis lies across a piece
Pull = tuple[float, float]
Floats = NDArray[np.float64]


def joint_shrinkage(metal: float, wall: float) -> Pull:
    """Return the least and most that one joint's weld takes off across itself, mm.

    Parameters
    ----------
    metal : cross-section of the heaviest weld there, mm2: welds of one joint pull together
    wall : of the piece, mm

    Source: see ``SOURCE``.
    """
    if metal <= 0:
        return 0.0, 0.0
    low = BUTT * metal / wall
    return min(low, FILLET_MOST), max(low, FILLET_MOST)


def end_pulls(brief: Brief, frame: Frame) -> dict[str, tuple[Pull, ...]]:
    """Return what the welds at the ends of each piece take off it, least and most in mm, one pair a welded end.

    Pieces without an end that butts on a neighbour they share a joint with are left out.
    """
    of = {m.name: k for k, m in enumerate(frame.members)}
    rows = {m.name for m in frame.members if m.role in ROWS}
    asked = [(of[n], of[o]) for j in frame.joints for n in j.members if n in rows for o in j.members if o != n]
    if not asked:
        return {}
    own, other = np.array(asked).T
    hits, rounded = _butting(frame.members, own, other)
    found: dict[tuple[int, int], float] = {}
    for k, o, ends, edges in zip(own.tolist(), other.tolist(), hits.tolist(), rounded.tolist(), strict=True):
        for end, (hit, edge) in enumerate(zip(ends, edges, strict=True)):
            if hit:
                one, second = frame.members[k].profile, frame.members[o].profile
                thin = min(one.wall, second.wall)
                metal = _metal(brief.welding.process, laid_leg(brief, thin), thin, second.corner if edge else 0.0)
                found[k, end] = max(found.get((k, end), 0.0), metal)
    out: dict[str, tuple[Pull, ...]] = {}
    for (k, _), metal in found.items():
        m = frame.members[k]
        out[m.name] = (*out.get(m.name, ()), joint_shrinkage(metal, m.profile.wall))
    return out


def longer(pulls: Sequence[Pull]) -> float:
    """Return what a piece is sawn longer, mm: the middle of what its ends take, in steps of half a millimetre."""
    return round(sum(low + high for low, high in pulls) / 2 / _STEP) * _STEP


@lru_cache(maxsize=256)
def _metal(process: str, leg: float, thin: float, radius: float) -> float:
    """Cross-section of the heaviest weld at an end, mm2: a fillet, which a butt equals, or a flare-bevel on a rounded edge.

    ``thin``: the thinner wall; ``radius`` of the edge, 0 where the end lies on a flat wall.
    """
    fillet = section("fillet", leg=leg, throat=0.0)
    if radius <= 0:
        return fillet
    throat = min(flare_share(process) * radius, thin)
    return max(fillet, section("flare-bevel", leg=0.0, throat=throat, flare=radius))


def _butting(
    members: tuple[Member, ...], own: NDArray[np.intp], other: NDArray[np.intp]
) -> tuple[NDArray[np.bool_], NDArray[np.bool_]]:
    """Whether start and end of each first member lie against the second, and on a rounded edge of it: (n, 2) each.

    A spot of the section, in the middle of a wall, lies in the second's box when it is moved just past the end.
    """
    p = [m.profile for m in members]
    y, z = np.array([m.y_axis for m in members]), np.array([m.z_axis for m in members])
    x = np.cross(y, z)
    ends = np.array([(m.start.point, m.end.point) for m in members])  # (m, 2, 3)
    normals = np.array([(m.start.normal, m.end.normal) for m in members])
    half = np.array([(s.width, s.height) for s in p]) / 2
    walls = np.array([s.wall for s in p]) / 2
    corners = np.array([s.corner if s.closed else 0.0 for s in p])
    middle = np.array([s.box_centre for s in p])
    # Moved along the piece on to the plane of the cut and past it: (m, 2, 5, 3).
    flat = middle[:, None] + (half - walls[:, None])[:, None] * _SPOTS
    across = flat[..., :1] * y[:, None] + flat[..., 1:] * z[:, None]
    way = np.einsum("mej,mj->me", normals, x)
    run = _PAST * np.sign(way)[..., None] - np.einsum("mej,msj->mes", normals, across) / way[..., None]
    spots = (ends[:, :, None] + across[:, None] + run[..., None] * x[:, None, None])[own]
    at = spots - ends[other, 0][:, None, None]
    inside = np.einsum("nesj,nj->nes", at, normals[other, 0]) < 0.0
    inside &= np.einsum("nesj,nj->nes", spots - ends[other, 1][:, None, None], normals[other, 1]) < 0.0
    edge = np.zeros_like(inside)
    for axis, k in ((y[other], 0), (z[other], 1)):
        off = np.abs(np.einsum("nesj,nj->nes", at, axis) - middle[other, k][:, None, None])
        inside &= off < half[other, k][:, None, None]
        aside = np.abs(np.einsum("nj,nj->n", axis, x[own])) < _ACROSS
        edge |= (off > (half[other, k] - corners[other])[:, None, None]) & aside[:, None, None]
    square = np.abs(way)[own] > _SQUARE
    return np.asarray(inside.any(2)), np.asarray((inside & edge).any(2) & square)

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
from framecore.catalogue.model import Profile
from framecore.frame.fitup import flare_share
from framecore.frame.model import Frame, Member, Role
from framecore.frame.vector import crosses
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
    members = frame.members
    own, other = _mates(
        tuple(m.name for m in members), tuple(m.role in ROWS for m in members), tuple(j.members for j in frame.joints)
    )
    if not own.size:
        return {}
    found: dict[tuple[int, int], float] = {}
    for k, o, end, edge in _butting(members, own, other):
        one, second = members[k].profile, members[o].profile
        thin = min(one.wall, second.wall)
        metal = _metal(brief.welding.process, laid_leg(brief, thin), thin, second.corner if edge else 0.0)
        if metal > found.get((k, end), 0.0):
            found[k, end] = metal
    out: dict[str, tuple[Pull, ...]] = {}
    for (k, _), metal in found.items():
        m = members[k]
        out[m.name] = (*out.get(m.name, ()), joint_shrinkage(metal, m.profile.wall))
    return out


@lru_cache(maxsize=8)
def _mates(
    names: tuple[str, ...], rows: tuple[bool, ...], joints: tuple[tuple[str, ...], ...]
) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Members that lie in ``rows`` and each of those they share a joint with: two arrays of indices."""
    of = {name: k for k, name in enumerate(names)}
    pairs = [(of[n], of[o]) for joint in joints for n in joint if rows[of[n]] for o in joint if o != n]
    own, other = np.array(pairs, np.intp).reshape(-1, 2).T
    return own, other


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
) -> list[tuple[int, int, int, bool]]:
    """Ends of the first members that lie against the second: (first, second, end, on a rounded edge of the second).

    A spot of the section, in the middle of a wall, lies in the second's box when it is moved just past the end.
    """
    sections = np.array([_section(m.profile) for m in members])
    half, wall, corner, middle = sections[:, :2], sections[:, 2:3], sections[:, 3], sections[:, 4:]
    # One array of all, since many small ones take longer to make than to reckon with.
    flat = [(*m.y_axis, *m.z_axis, *m.start.point, *m.end.point, *m.start.normal, *m.end.normal) for m in members]
    axes, ends, normals = np.array(flat).reshape(-1, 3, 2, 3).transpose(1, 0, 2, 3)
    x = crosses(axes[:, 0], axes[:, 1])
    ways = np.einsum("mej,mj->me", normals, x)
    # Only ends whose section can reach the second's box at all are looked at spot by spot.
    reach = (half + np.abs(middle)).sum(1)[:, None] * (1.0 + 1.0 / np.abs(ways)) + _PAST
    apart = np.einsum("nej,naj->nea", ends[own] - ends[other, :1], axes[other]) - middle[other][:, None]
    first, end = np.nonzero((np.abs(apart) < half[other][:, None] + reach[own][:, :, None]).all(2))
    k, o = own[first], other[first]
    # Moved along the piece on to the plane of the cut and past it: (n, 5, 3).
    at = middle[k][:, None] + (half - wall)[k][:, None] * _SPOTS
    across = at[..., :1] * axes[k, :1] + at[..., 1:] * axes[k, 1:]
    way, along = ways[k, end], x[k]
    run = _PAST * np.sign(way)[:, None] - np.einsum("nj,nsj->ns", normals[k, end], across) / way[:, None]
    spots = ends[k, end][:, None] + across + run[..., None] * along[:, None]
    from_start = spots - ends[o, 0][:, None]
    inside = np.einsum("nsj,nj->ns", from_start, normals[o, 0]) < 0.0
    inside &= np.einsum("nsj,nj->ns", spots - ends[o, 1][:, None], normals[o, 1]) < 0.0
    aside = np.abs(np.einsum("naj,nj->na", axes[o], along)) < _ACROSS
    edge = np.zeros_like(inside)
    for axis in (0, 1):
        off = np.abs(np.einsum("nsj,nj->ns", from_start, axes[o, axis]) - middle[o, axis][:, None])
        inside &= off < half[o, axis][:, None]
        edge |= (off > (half[o, axis] - corner[o])[:, None]) & aside[:, axis][:, None]
    hit = inside.any(1)
    rounded = (inside & edge).any(1) & (np.abs(way) > _SQUARE)
    return list(zip(k[hit].tolist(), o[hit].tolist(), end[hit].tolist(), rounded[hit].tolist(), strict=True))


@lru_cache(maxsize=256)
def _section(profile: Profile) -> tuple[float, float, float, float, float, float]:
    """Half the width and height, half the wall, corner radius of a tube, and the middle of the box, mm."""
    return (profile.width / 2, profile.height / 2, profile.wall / 2, profile.corner if profile.closed else 0.0,
            *profile.box_centre)  # fmt: skip

"""What the codes want to know of a profile, in its principal axes u (stiff) and v."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from framecore.catalogue import profile as find_profile
from framecore.catalogue.model import Profile, Shape
from framecore.strength._section import principal

_BARS = (Shape.FLAT, Shape.ROUND_BAR, Shape.SQUARE_BAR)


@dataclass(frozen=True, slots=True, kw_only=True)
class CodeSection:
    """Numbers of one profile; mm.

    Attributes
    ----------
    el_u, el_v, pl_u, pl_v : elastic and plastic moduli for bending about u and about v
    av_u, av_v : areas that carry shear along u and along v
    torsion_c : AISC's torsion constant C of a tube, the torsion modulus w_t of other shapes
    polar : polar radius of gyration about the shear centre, squared
    h : 1 - (distance of the shear centre)^2 / polar
    couples : bending about u goes with torsion (the shear centre lies on u), else about v is taken as well
    beta : monosymmetry of an unequal angle, beta_w of AISC table C-F10.1; 0 for other shapes
    box, round_, angle, bar, channel : what it is
    lean_y, lean_z : flat width over thickness of the walls along y and along z; the whole leg of an angle
    long, short : the larger and smaller outside size; ``u_is_y`` the stiff axis of bending is the profile's y
    """

    area: float
    i_u: float
    i_v: float
    j: float
    i_w: float
    w_t: float
    el_u: float
    el_v: float
    pl_u: float
    pl_v: float
    av_u: float
    av_v: float
    torsion_c: float
    polar: float
    h: float
    couples: bool
    beta: float
    box: bool
    round_: bool
    angle: bool
    bar: bool
    channel: bool
    hot: bool
    wall: float
    long: float
    short: float
    lean_y: float
    lean_z: float
    u_is_y: bool


@lru_cache(maxsize=256)
def code_section(profile_id: str) -> CodeSection:
    """Return what the codes want to know of a catalogue profile."""
    p = find_profile(profile_id)
    q, s = p.properties, principal(profile_id)
    u_is_y = abs(math.cos(q.theta)) > abs(math.sin(q.theta))
    pl = (q.w_pl_y, q.w_pl_z) if u_is_y else (q.w_pl_z, q.w_pl_y)
    el_u, el_v = s.i_u / float(np.abs(s.points[:, 1]).max()), s.i_v / float(np.abs(s.points[:, 0]).max())
    if p.is_angle:
        pl = (el_u, el_v)  # not used: angles are checked elastically, or by AISC's own factor on the yield moment
    box = p.shape in (Shape.SQUARE_TUBE, Shape.RECT_TUBE)
    t = p.wall_design
    off = sum(c * c for c in s.shear_centre)
    polar = (s.i_u + s.i_v) / s.area + off
    av_u, av_v = _shear(p, u_is_y, s.shear_u, s.shear_v)
    return CodeSection(
        area=s.area, i_u=s.i_u, i_v=s.i_v, j=s.j, i_w=q.i_w, w_t=s.w_t, el_u=el_u, el_v=el_v, pl_u=pl[0], pl_v=pl[1],
        av_u=av_u, av_v=av_v,
        torsion_c=_torsion_c(p, s.w_t), polar=polar, h=1 - off / polar,
        couples=p.shape in (Shape.EQUAL_ANGLE, Shape.CHANNEL), beta=_beta(p) if p.shape is Shape.UNEQUAL_ANGLE else 0.0,
        box=box, round_=p.shape is Shape.ROUND_TUBE, angle=p.is_angle, bar=p.shape in _BARS,
        channel=p.shape is Shape.CHANNEL, hot="10210" in p.standard, wall=t, long=max(p.height, p.width),
        short=min(p.height, p.width),
        lean_y=_lean(p, p.width), lean_z=_lean(p, p.height), u_is_y=u_is_y,
    )  # fmt: skip


def _lean(p: Profile, side: float) -> float:
    """Width over thickness: flat (side - 3 t) of a tube's wall, diameter of a round tube, whole leg of an angle."""
    t = p.wall_design
    if p.shape in (Shape.SQUARE_TUBE, Shape.RECT_TUBE):
        return (side - 3 * t) / t
    if p.shape is Shape.CHANNEL:
        # The width belongs to the two flanges, outstands from the root; the height to the web between the roots.
        if side == p.width:
            return (side - t - p.root) / p.flange
        return (side - 2 * p.flange - 2 * p.root) / t
    return 0.0 if p.shape in _BARS else side / t


def _shear(p: Profile, u_is_y: bool, along_u: float, along_v: float) -> tuple[float, float]:
    """Areas that carry shear: EN 1993-1-1 6.2.6(3) for tubes, elsewhere the catalogue's elastic shear areas."""
    a = p.properties.area
    if p.shape is Shape.ROUND_TUBE:
        return 2 * a / math.pi, 2 * a / math.pi
    if p.closed:
        y, z = a * p.width / (p.width + p.height), a * p.height / (p.width + p.height)
        return (y, z) if u_is_y else (z, y)
    return along_u, along_v


def _torsion_c(p: Profile, w_t: float) -> float:
    """C of AISC 360-16 H3.1 user note; W_t for what is no tube."""
    t = p.wall_design
    if p.shape is Shape.ROUND_TUBE:
        return math.pi * (p.height - t) ** 2 * t / 2
    if p.closed:
        return 2 * (p.width - t) * (p.height - t) * t - 4.5 * (4 - math.pi) * t**3
    return w_t


def _beta(p: Profile) -> float:
    """beta_w = (1 / I_u) int v (u^2 + v^2) dA - 2 v_0 of an angle, its size: legs as thin strips, five-point Gauss.

    Source: AISC 360-16 commentary table C-F10.1 (the definition; from memory).
    """
    s = principal(p.id)
    at, weight = np.polynomial.legendre.leggauss(5)
    t = p.wall
    cy, cz = p.box_centre[0] - p.width / 2, p.box_centre[1] - p.height / 2  # the heel
    total = 0.0
    for size, upright in ((p.width, False), (p.height - t, True)):
        d = size * (at + 1) / 2
        y, z = (np.full(5, cy + t / 2), cz + t + d) if upright else (cy + d, np.full(5, cz + t / 2))
        u, v = s.turn @ np.array([y, z])
        total += float((v * (u * u + v * v) * weight).sum()) * size / 2 * t
    return abs(total / s.i_u - 2 * s.shear_centre[1])

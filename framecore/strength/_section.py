"""A profile as an analysis section: turned to its principal axes."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from framecore.catalogue import profile as find_profile

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PrincipalSection:
    """Section in its principal axes u (stiff) and v.

    ``turn`` (2, 2): rows u and v in the profile's y, z, ``along`` the first of them. ``points`` (k, 2): stress points in
    u, v, mm.
    """

    area: float
    i_u: float
    i_v: float
    j: float
    shear_u: float
    shear_v: float
    w_t: float
    shear_centre: tuple[float, float]
    turn: Floats
    along: tuple[float, float]
    points: Floats


@lru_cache(maxsize=256)
def principal(profile_id: str) -> PrincipalSection:
    """Return the section of a catalogue profile in its principal axes."""
    profile = find_profile(profile_id)
    p = profile.properties
    c, s = np.cos(p.theta), np.sin(p.theta)
    turn = np.array([(c, s), (-s, c)])
    # Angles give their shear areas along the principal axes already, other shapes along y and z.
    along_y = profile.is_angle or abs(c) > abs(s)
    su, sv = (p.shear_y, p.shear_z) if along_y else (p.shear_z, p.shear_y)
    u, v = turn @ np.array(p.shear_centre)
    return PrincipalSection(
        area=p.area, i_u=p.i_u, i_v=p.i_v, j=p.j, shear_u=su, shear_v=sv, w_t=p.w_t,
        shear_centre=(float(u), float(v)), turn=turn, along=(float(c), float(s)), points=np.asarray(p.stress_points) @ turn.T,
    )  # fmt: skip

"""Member stresses from end forces: every end, every case, every stress point at once."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from framecore.frame.model import Frame
from framecore.strength._section import principal
from framecore.strength.model import Case, MemberCheck, ModelMap

Floats = NDArray[np.float64]


@lru_cache(maxsize=64)
def _points(profiles: tuple[str, ...]) -> Floats:
    """(members, k, 2): stress points of each member, short lists filled up with their first point."""
    lists = [principal(p).points for p in profiles]
    most = max(len(p) for p in lists)
    return np.array([np.vstack([p, np.repeat(p[:1], most - len(p), 0)]) for p in lists])


@lru_cache(maxsize=64)
def _numbers(profiles: tuple[str, ...]) -> Floats:
    """(6, members): area, i_u, i_v, w_t, shear_u, shear_v."""
    sections = [principal(p) for p in profiles]
    return np.array([(s.area, s.i_u, s.i_v, s.w_t, s.shear_u, s.shear_v) for s in sections]).T


def check_members(
    frame: Frame, where: ModelMap, end_forces: Floats, cases: tuple[Case, ...], fy: Sequence[float], margin: float,
    by_code: Sequence[float] | None = None,
) -> tuple[MemberCheck, ...]:  # fmt: skip
    """Find the worst stress of every member.

    Parameters
    ----------
    end_forces : (m, 12, c) local end forces on the elements, N and N mm
    fy : yield strength of each member, MPa
    margin : factor on the stress (1.67 is the usual one of allowable stress design)
    by_code : utilisation of each member by a code, to be told in place of margin x stress / fy

    Notes
    -----
    Normal stress N/A + My z/Iu - Mz y/Iv at each stress point, shear V/A_s + T/W_t everywhere at its peak
    (safe side), von Mises sqrt(sigma^2 + 3 tau^2). Bending peaks at element ends: loads sit on nodes and the
    own weight between them is small.

    Source: statics; von Mises criterion as in EN 1993-1-1 6.2.1(5).
    """
    own = where.element_member >= 0
    forces = end_forces[own]
    member = where.element_member[own]
    profiles = tuple(m.profile.id for m in frame.members)
    area, i_u, i_v, w_t, s_u, s_v = _numbers(profiles)[:, member, None, None]
    # (elements, 2 ends, cases); end 1 forces act the other way round from the section's own stress.
    sign = np.array([-1.0, 1.0])[None, :, None]
    f = forces.reshape(len(forces), 2, 6, -1)
    normal, v_u, v_v, torque, m_u, m_v = (f[:, :, k] * sign for k in range(6))
    points = _points(profiles)
    y, z = points[member][:, None, None, :, 0], points[member][:, None, None, :, 1]
    axial = normal / area
    bend_u = (m_u / i_u)[..., None] * z
    bend_v = -(m_v / i_v)[..., None] * y
    sigma = axial[..., None] + bend_u + bend_v
    tau = np.abs(v_u) / s_u + np.abs(v_v) / s_v + np.abs(torque) / w_t
    mises = np.sqrt(sigma**2 + 3 * tau[..., None] ** 2)
    checked = np.array([c.checked for c in cases])
    if not checked.all():
        mises = np.where(checked[None, None, :, None], mises, 0.0)
    flat = mises.reshape(len(mises), -1)
    spot = flat.argmax(1)
    peak = flat[np.arange(len(flat)), spot]
    # Elements of a member stand together, in the order of the members.
    rise = np.lexsort((peak, member))
    e = rise[np.r_[np.flatnonzero(np.diff(member[rise])), len(rise) - 1]]
    end, case, point = np.unravel_index(spot[e], mises.shape[1:])
    at = where.stations[own][e, end]
    columns = (
        at, peak[e], axial[e, end, case], bend_u[e, end, case, point], bend_v[e, end, case, point], tau[e, end, case],
    )  # fmt: skip
    rows = zip(member[e].tolist(), case.tolist(), *(c.tolist() for c in columns), strict=True)
    return tuple(
        MemberCheck(
            member=frame.members[k].name, case=cases[c].id, at=t, stress=stress, axial=n, bend_y=by, bend_z=bz,
            shear=shear, fy=fy[k], utilisation=margin * stress / fy[k] if by_code is None else by_code[k],
        )
        for k, c, t, stress, n, by, bz, shear in rows
    )  # fmt: skip

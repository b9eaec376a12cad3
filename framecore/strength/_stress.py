"""Member stresses from end forces: every end, every case, every stress point at once."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from framecore.frame.model import Frame
from framecore.strength._section import principal
from framecore.strength.model import Case, MemberCheck, ModelMap

Floats = NDArray[np.float64]


def check_members(
    frame: Frame, where: ModelMap, end_forces: Floats, cases: tuple[Case, ...], fy: float, margin: float
) -> tuple[MemberCheck, ...]:
    """Find the worst stress of every member.

    Parameters
    ----------
    end_forces : (m, 12, c) local end forces on the elements, N and N mm
    fy : yield strength, MPa
    margin : factor on the stress (1.67 is the usual one of allowable stress design)

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
    sections = [principal(m.profile.id) for m in frame.members]
    area, i_u, i_v, w_t, s_u, s_v = (
        np.array([getattr(s, name) for s in sections])[member][:, None, None]
        for name in ("area", "i_u", "i_v", "w_t", "shear_u", "shear_v")
    )
    # (elements, 2 ends, cases); end 1 forces act the other way round from the section's own stress.
    sign = np.array([-1.0, 1.0])[None, :, None]
    f = forces.reshape(len(forces), 2, 6, -1)
    normal, v_u, v_v, torque, m_u, m_v = (f[:, :, k] * sign for k in range(6))
    most = max(len(s.points) for s in sections)
    points = np.array([np.vstack([s.points, np.repeat(s.points[:1], most - len(s.points), 0)]) for s in sections])
    y, z = points[member][:, None, None, :, 0], points[member][:, None, None, :, 1]
    axial = normal / area
    bend_u = (m_u / i_u)[..., None] * z
    bend_v = -(m_v / i_v)[..., None] * y
    sigma = axial[..., None] + bend_u + bend_v
    tau = np.abs(v_u) / s_u + np.abs(v_v) / s_v + np.abs(torque) / w_t
    mises = np.sqrt(sigma**2 + 3 * tau[..., None] ** 2)
    checked = np.array([c.checked for c in cases])
    mises = np.where(checked[None, None, :, None], mises, 0.0)
    per_element = mises.reshape(len(mises), -1)
    stations = where.stations[own]
    out = []
    for k, m in enumerate(frame.members):
        mine = np.flatnonzero(member == k)
        e = int(mine[per_element[mine].max(1).argmax()])
        end, case, point = np.unravel_index(int(mises[e].argmax()), mises[e].shape)
        stress = float(mises[e, end, case, point])
        out.append(
            MemberCheck(
                member=m.name, case=cases[case].id, at=float(stations[e, end]), stress=stress,
                axial=float(axial[e, end, case]), bend_y=float(bend_u[e, end, case, point]),
                bend_z=float(bend_v[e, end, case, point]), shear=float(tau[e, end, case]), fy=fy,
                utilisation=margin * stress / fy,
            )
        )  # fmt: skip
    return tuple(out)

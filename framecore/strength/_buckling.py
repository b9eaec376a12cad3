"""Exact elastic buckling, case by case: wanted only where the bound over all cases is near."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from framecore.fem import buckling
from framecore.fem.assembled import Assembled
from framecore.strength.model import Case, ModelMap

Floats = NDArray[np.float64]
# The bound is sharp enough above this: second-order effects are left out from 10 on.
EXACT_BELOW = 20.0


def exact_buckling(
    assembled: Assembled, where: ModelMap, axial: Floats, cases: tuple[Case, ...]
) -> tuple[float, str, str]:
    """Return the least buckling factor of the cases, the case's id, and what buckles: "frame" or a member.

    Parameters
    ----------
    axial : (m, c) N, tension positive

    Notes
    -----
    The live model has one element between joints, which sees the frame sway but no member bow on its own. Such
    spans are taken beside it as struts pinned at both ends, pi^2 E I / L^2: their joints hold them better than
    that, so the lower of the two is on the safe side.
    """
    model = assembled.model
    least = np.minimum(model.per_element("i_y"), model.per_element("i_z"))
    euler = math.pi**2 * model.per_element("e") * least / model.length**2
    own = where.element_member >= 0
    local = np.where(own[:, None] & (axial < 0), euler[:, None] / np.maximum(-axial, 1e-9), np.inf)
    best, case, what = math.inf, "", "frame"
    for c, name in enumerate(cases):
        sway = buckling(assembled, axial[:, c])
        e = int(local[:, c].argmin())
        for factor, of in ((sway, "frame"), (float(local[e, c]), where.element_part[e])):
            if factor < best:
                best, case, what = factor, name.id, of
    return best, case, what

"""Own weight as consistent nodal loads."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from framecore.fem import element
from framecore.fem.model import Floats, FrameModel, cross

STANDARD_GRAVITY = 9806.65  # mm/s2; 3rd CGPM 1901


def gravity(
    model: FrameModel, direction: ArrayLike = (0.0, 0.0, -1.0), g: float = STANDARD_GRAVITY,
    transform: Floats | None = None,
) -> tuple[Floats, Floats]:  # fmt: skip
    """Weight of the elements (evenly along their centroid line) and of the lumped masses.

    Parameters
    ----------
    direction : (3,) acceleration felt, in multiples of ``g``: (0, 0, -1) is the plain weight
    g : mm/s2
    transform : that of the assembled model, where it is at hand

    Returns
    -------
    loads : (n, 6) N and N mm, global axes
    fixed_end : (m, 12) N and N mm, local end forces with all nodes held; to be given to ``end_forces``
    """
    pull = np.asarray(direction, float) * g
    length = model.length
    y_s, z_s = model.shear_centres.T
    per_mm = model.per_element("density") * model.per_element("area")
    q = per_mm[:, None] * (model.axes @ pull)  # N/mm in local axes
    half = 0.5 * q * length[:, None]
    bend = q * (length**2 / 12.0)[:, None]
    equivalent = np.zeros((len(length), 12))
    for a, sign in ((0, 1.0), (6, -1.0)):
        equivalent[:, a : a + 3] = half
        equivalent[:, a + 3] = z_s * half[:, 1] - y_s * half[:, 2]  # the weight sits on the centroid
        equivalent[:, a + 4] = -sign * bend[:, 2]
        equivalent[:, a + 5] = sign * bend[:, 1]
    turn = element.transform(model) if transform is None else transform
    at_nodes = (turn.transpose(0, 2, 1) @ equivalent[:, :, None]).reshape(-1, 2, 6)
    loads = np.zeros((model.n_nodes, 6))
    np.add.at(loads, model.elements, at_nodes)
    if len(model.mass_nodes):
        assert model.mass_offset is not None
        force = np.asarray(model.mass)[:, None] * pull
        np.add.at(loads, model.mass_nodes, np.hstack([force, cross(model.mass_offset, force)]))
    return loads, -equivalent

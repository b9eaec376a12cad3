"""Local matrices of the straight two-node beam (Timoshenko), for all elements at once.

Local freedoms at either end: u of the centroid, v and w of the shear centre, then the rotations about
local x, y, z. With these six the stiffness matrix has no coupling terms, and its forces are: axial
force at the centroid, shear forces and torque at the shear centre, bending moments about the centroid.

Stiffness, mass and geometric stiffness share one sparsity: each is 24 numbers an element times the same
24 constant 12 x 12 matrices, so that one matrix product builds them all.

Source: stiffness and mass with shear flexibility after Przemieniecki, Theory of Matrix Structural
Analysis (1968), from memory; the unit tests integrate the shape functions numerically.
"""

from __future__ import annotations

import numpy as np

from framecore.fem.model import Floats, FrameModel, skew

_PLANE_XY = (1, 5, 7, 11, 1.0)  # v1, rz1, v2, rz2; rz = +v'
_PLANE_XZ = (2, 4, 8, 10, -1.0)  # w1, ry1, w2, ry2; ry = -w'


def _pattern(*entries: tuple[int, int, float]) -> Floats:
    out = np.zeros((12, 12))
    for row, column, value in entries:
        out[row, column] = out[column, row] = value
    return out.ravel()


def _bar(first: int, second: int) -> list[Floats]:
    return [_pattern((first, first, 1.0), (second, second, 1.0)), _pattern((first, second, 1.0))]


def _bending(v1: int, r1: int, v2: int, r2: int, sign: float) -> list[Floats]:
    return [
        _pattern((v1, v1, 1.0), (v2, v2, 1.0)),
        _pattern((v1, r1, sign), (v2, r2, -sign)),
        _pattern((v1, v2, 1.0)),
        _pattern((v1, r2, sign), (r1, v2, -sign)),
        _pattern((r1, r1, 1.0), (r2, r2, 1.0)),
        _pattern((r1, r2, 1.0)),
    ]


def _twist_coupling(v1: int, r1: int, v2: int, r2: int, sign: float) -> list[Floats]:
    return [
        _pattern((v1, 3, 1.0), (v2, 9, 1.0)),
        _pattern((v1, 9, 1.0), (v2, 3, 1.0)),
        _pattern((r1, 3, sign), (r2, 9, -sign)),
        _pattern((r1, 9, sign), (r2, 3, -sign)),
    ]


_BASIS = np.array(
    _bar(0, 6) + _bar(3, 9) + _bending(*_PLANE_XY) + _bending(*_PLANE_XZ)
    + _twist_coupling(*_PLANE_XY) + _twist_coupling(*_PLANE_XZ)
)  # fmt: skip


def _build(bars: list[Floats], planes: list[Floats], twist: list[Floats]) -> Floats:
    """Sum (m,) bar numbers and (2, m) numbers of the two bending planes into (m, 12, 12)."""
    m = planes[0].shape[1]
    rows = [np.array(bars), np.stack(planes, 1).reshape(12, m)]
    if twist:
        rows.append(np.stack(twist, 1).reshape(8, m))
    table = np.concatenate(rows)
    return (table.T @ _BASIS[: len(table)]).reshape(m, 12, 12)


def _inertias(model: FrameModel) -> Floats:
    """Second moments for bending in the local x-y and the x-z plane, (2, m)."""
    return np.array([model.i_z, model.i_y])


def shear_flexibility(model: FrameModel) -> Floats:
    """Shear parameters 12 E I / (G A_s L2) of bending in the local x-y and x-z planes, (2, m)."""
    areas = np.array([model.shear_y, model.shear_z])
    areas[areas <= 0.0] = np.inf
    return np.asarray(12.0 * model.e * _inertias(model) / (model.g * areas * model.length**2))


def stiffness(model: FrameModel) -> Floats:
    """Local stiffness matrices, (m, 12, 12)."""
    length, p = model.length, shear_flexibility(model)
    axial = model.per_element("e") * model.area / length
    torsion = model.per_element("g") * model.j / length
    k = model.e * _inertias(model) / (length**3 * (1.0 + p))
    k12, k6 = 12.0 * k, 6.0 * length * k
    k_l2 = k * length**2
    planes = [k12, k6, -k12, k6, (4.0 + p) * k_l2, (2.0 - p) * k_l2]
    return _build([axial, -axial, torsion, -torsion], planes, [])


def mass(model: FrameModel) -> Floats:
    """Local consistent mass matrices with rotary inertia, (m, 12, 12); translations in t."""
    length, p, inertia = model.length, shear_flexibility(model), _inertias(model)
    y_s, z_s = model.shear_centres.T
    per_mm = model.per_element("density") * model.area
    whole = per_mm * length
    spin = (model.density * inertia.sum(0) + per_mm * (y_s**2 + z_s**2)) * length
    less = (1.0 + p) ** -2
    t, r = whole * less, model.density * inertia / length * less
    t_l, t_l2, r_l2, pp = t * length, t * length**2, r * length**2, p**2
    slope = r * (1 / 10 - p / 2) * length
    planes = [
        t * (13 / 35 + 7 * p / 10 + pp / 3) + 1.2 * r,
        t_l * (11 / 210 + 11 * p / 120 + pp / 24) + slope,
        t * (9 / 70 + 3 * p / 10 + pp / 6) - 1.2 * r,
        -t_l * (13 / 420 + 3 * p / 40 + pp / 24) + slope,
        t_l2 * (1 / 105 + p / 60 + pp / 120) + r_l2 * (2 / 15 + p / 6 + pp / 3),
        t_l2 * (-1 / 140 - p / 60 - pp / 120) + r_l2 * (-1 / 30 - p / 6 + pp / 6),
    ]
    twist = []
    if model.shear_centres.any():
        # The mass sits on the centroid: v_C = v_S + z_s rx, w_C = w_S - y_s rx.
        c = whole * np.array([z_s, -y_s]) / (1.0 + p)
        c_l = c * length
        twist = [c * (7 / 20 + p / 3), c * (3 / 20 + p / 6), c_l * (1 / 20 + p / 24), c_l * (1 / 30 + p / 24)]
    return _build([whole / 3, whole / 6, spin / 3, spin / 6], planes, twist)


def geometric(model: FrameModel) -> Floats:
    """Local geometric stiffness for a unit tension, (m, 12, 12); positive semidefinite.

    Includes the twist term (I_y + I_z) / A and the shear centre, so that torsional and
    flexural-torsional buckling are seen. Moments and end shears have no second-order effect here.
    """
    length = model.length
    y_s, z_s = model.shear_centres.T
    one, zero = 1.0 / length, np.zeros((2, len(length)))
    polar = (_inertias(model).sum(0) / model.area + y_s**2 + z_s**2) * one
    planes = [zero + 1.2 * one, zero + 0.1, zero - 1.2 * one, zero + 0.1,
              zero + 2.0 * length / 15.0, zero - length / 30.0]  # fmt: skip
    lever = np.array([z_s, -y_s]) * one
    twist = [lever, -lever, zero, zero] if model.shear_centres.any() else []
    return _build([zero[0], zero[0], polar, -polar], planes, twist)


def transform(model: FrameModel) -> Floats:
    """Matrices T with local = T @ global freedoms of the two nodes, (m, 12, 12)."""
    m = len(model.elements)
    out = np.zeros((m, 12, 12))
    axes = model.axes
    (y_s, z_s) = model.shear_centres.T
    arm = -axes[:, None] @ skew(model.end_offsets)  # u_end = u_node + r x offset, seen in local axes
    arm[:, :, 1] -= (z_s[:, None] * axes[:, 0])[:, None]
    arm[:, :, 2] += (y_s[:, None] * axes[:, 0])[:, None]
    for end in (0, 1):
        a = 6 * end
        out[:, a : a + 3, a : a + 3] = out[:, a + 3 : a + 6, a + 3 : a + 6] = axes
        out[:, a : a + 3, a + 3 : a + 6] = arm[:, end]
    return out

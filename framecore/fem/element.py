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


def _build(coefficients: list[Floats], m: int) -> Floats:
    table = np.zeros((24, m))
    table[: len(coefficients)] = coefficients
    return (table.T @ _BASIS).reshape(m, 12, 12)


def shear_flexibility(model: FrameModel) -> tuple[Floats, Floats]:
    """Shear parameters 12 E I / (G A_s L2) of bending in the local x-y and x-z planes, each (m,)."""
    e, g, square = model.per_element("e"), model.per_element("g"), model.length**2

    def one(inertia: Floats, shear: Floats) -> Floats:
        area = np.where(shear > 0.0, shear, np.inf)
        return np.asarray(12.0 * e * inertia / (g * area * square))

    return (
        one(model.per_element("i_z"), model.per_element("shear_y")),
        one(model.per_element("i_y"), model.per_element("shear_z")),
    )


def stiffness(model: FrameModel) -> Floats:
    """Local stiffness matrices, (m, 12, 12)."""
    e, length = model.per_element("e"), model.length
    axial = e * model.area / length
    torsion = model.g * model.j / length
    coefficients = [axial, -axial, torsion, -torsion]
    for inertia, phi in zip((model.i_z, model.i_y), shear_flexibility(model), strict=True):
        k = e * inertia / (length**3 * (1.0 + phi))
        k_l, k_l2 = k * length, k * length**2
        coefficients += [12 * k, 6 * k_l, -12 * k, 6 * k_l, (4 + phi) * k_l2, (2 - phi) * k_l2]
    return _build(coefficients, len(length))


def mass(model: FrameModel) -> Floats:
    """Local consistent mass matrices with rotary inertia, (m, 12, 12); translations in t."""
    length, area, density = model.length, model.per_element("area"), model.per_element("density")
    i_y, i_z, (y_s, z_s) = model.per_element("i_y"), model.per_element("i_z"), model.shear_centres.T
    whole = density * area * length
    spin = density * (i_y + i_z + area * (y_s**2 + z_s**2)) * length
    coefficients = [whole / 3, whole / 6, spin / 3, spin / 6]
    shears = shear_flexibility(model)
    for inertia, p in zip((i_z, i_y), shears, strict=True):
        t = whole / (1 + p) ** 2
        r = density * inertia / (length * (1 + p) ** 2)
        slope = r * (1 / 10 - p / 2) * length
        coefficients += [
            t * (13 / 35 + 7 * p / 10 + p**2 / 3) + 1.2 * r,
            t * (11 / 210 + 11 * p / 120 + p**2 / 24) * length + slope,
            t * (9 / 70 + 3 * p / 10 + p**2 / 6) - 1.2 * r,
            -t * (13 / 420 + 3 * p / 40 + p**2 / 24) * length + slope,
            (t * (1 / 105 + p / 60 + p**2 / 120) + r * (2 / 15 + p / 6 + p**2 / 3)) * length**2,
            (-t * (1 / 140 + p / 60 + p**2 / 120) + r * (-1 / 30 - p / 6 + p**2 / 6)) * length**2,
        ]
    if model.shear_centres.any():
        # The mass sits on the centroid: v_C = v_S + z_s rx, w_C = w_S - y_s rx.
        for lever, p in zip((z_s, -y_s), shears, strict=True):
            c = whole * lever / (1 + p)
            coefficients += [c * (7 / 20 + p / 3), c * (3 / 20 + p / 6),
                             c * (1 / 20 + p / 24) * length, c * (1 / 30 + p / 24) * length]  # fmt: skip
    return _build(coefficients, len(length))


def geometric(model: FrameModel) -> Floats:
    """Local geometric stiffness for a unit tension, (m, 12, 12); positive semidefinite.

    Includes the twist term (I_y + I_z) / A and the shear centre, so that torsional and
    flexural-torsional buckling are seen. Moments and end shears have no second-order effect here.
    """
    length = model.length
    (y_s, z_s), none = model.shear_centres.T, np.zeros(len(length))
    one = 1.0 / length
    polar = ((model.i_y + model.per_element("i_z")) / model.area + y_s**2 + z_s**2) * one
    bend = [1.2 * one, none + 0.1, -1.2 * one, none + 0.1, 2 * length / 15, -length / 30]
    return _build(
        [none, none, polar, -polar, *bend, *bend,
         z_s * one, -z_s * one, none, none, -y_s * one, y_s * one, none, none],
        len(length),
    )  # fmt: skip


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

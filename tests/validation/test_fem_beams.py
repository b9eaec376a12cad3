"""Handbook cases of beams and plane frames, formulas from memory of the named books, written out below.

Gere = Gere & Goodno, Mechanics of Materials; Roark = Young & Budynas, Roark's Formulas for Stress and Strain,
table 8.1; Kleinlogel = Kleinlogel, Rahmenformeln; Cowper = Cowper 1966 (shear area as given); Castigliano =
strain energy, worked out from first principles. Cubic elements are exact at nodes, so the bound is rounding
(supports are springs 1e7 and more times as stiff as the beam) unless a test says otherwise.
"""

import itertools

import numpy as np
import pytest

from framecore.fem import FrameModel, assemble, gravity
from tests.unit.fem.frames import axes_along, held, line
from tests.validation.record import agree

E, G, A, I, J = 210_000.0, 81_000.0, 600.0, 2.0e5, 2.6e5  # noqa: E741
L, P = 1000.0, 500.0
W = 7.85e-9 * 600.0 * 9806.65  # own weight, N/mm
ALL = range(6)
PINNED, ROLLER = (0, 1, 2, 3), (1, 2)


def case(n, kinds, **more):
    """A line of n elements with I about both axes, held at its ends (or where ``at`` says)."""
    at = more.pop("at", [0, n])
    values = {"i_y": I, "i_z": I, **held(at, kinds)} | more
    return assemble(line(n, L, **values))


def load(built, node, freedom, value):
    f = np.zeros((built.model.n_nodes, 6, 1))
    f[node, freedom] = value
    return built.solve(f)


def weight(built):
    loads, fixed = gravity(built.model)
    u = built.solve(loads[:, :, None])
    return u, built.end_forces(u, fixed)


def test_cantilever_tip_load():
    """Gere; Roark 1a: P L3 / 3 E I and slope P L2 / 2 E I."""
    u = load(case(1, [ALL], at=[0]), 1, 2, -P)
    agree(u[1, 2, 0], -P * L**3 / (3 * E * I), rel=1e-6)
    agree(u[1, 4, 0], P * L**2 / (2 * E * I), rel=1e-6)  # nose down turns +y


def test_cantilever_own_weight():
    """Gere; Roark: w L4 / 8 E I; moment at the wall w L2 / 2."""
    u, f = weight(case(3, [ALL], at=[0]))
    agree(u[3, 2, 0], -W * L**4 / (8 * E * I), rel=1e-6)
    agree(abs(f[0, 4, 0]), W * L**2 / 2, rel=1e-6)


def test_simply_supported_own_weight():
    """Gere: 5 w L4 / 384 E I; moment in the middle w L2 / 8."""
    u, f = weight(case(2, [PINNED, ROLLER]))
    agree(u[1, 2, 0], -5 * W * L**4 / (384 * E * I), rel=1e-6)
    agree(abs(f[0, 10, 0]), W * L**2 / 8, rel=1e-6)


def test_fixed_fixed_own_weight():
    """Gere; Roark: w L4 / 384 E I; end moments w L2 / 12."""
    u, f = weight(case(2, [ALL, ALL]))
    agree(u[1, 2, 0], -W * L**4 / (384 * E * I), rel=1e-5)
    agree(abs(f[0, 4, 0]), W * L**2 / 12, rel=1e-6)


def test_propped_cantilever_own_weight():
    """Gere; Roark: the roller carries 3 w L / 8."""
    built = case(2, [ALL, ROLLER])
    u, _ = weight(built)
    agree(built.reactions(u)[1, 2, 0], 3 * W * L / 8, rel=1e-6)


@pytest.mark.parametrize(("kinds", "divisor"), [([PINNED, ROLLER], 48), ([ALL, ALL], 192)])
def test_centre_load(kinds, divisor):
    """Gere: P L3 / 48 E I simply supported, P L3 / 192 E I fixed at both ends."""
    u = load(case(2, kinds), 1, 2, -P)
    agree(u[1, 2, 0], -P * L**3 / (divisor * E * I), rel=1e-5)


def test_timoshenko_cantilever():
    """Cowper: P L3 / 3 E I + P L / G A_s."""
    u = load(case(1, [ALL], at=[0], shear_z=250.0, shear_y=100.0), 1, 2, -P)
    agree(u[1, 2, 0], -P * L**3 / (3 * E * I) - P * L / (G * 250.0), rel=1e-6)


def test_two_equal_spans():
    """Three-moment equation; Gere: the middle support carries 1.25 w l of spans l."""
    built = case(2, [PINNED, ROLLER, ROLLER], at=[0, 1, 2])
    u, _ = weight(built)
    agree(built.reactions(u)[1, 2, 0], 1.25 * W * L / 2, rel=1e-6)


def test_unsymmetric_bending():
    """Gere: load at 45 degrees to the principal axes of Iu, Iv (an equal angle's leg direction):
    P L3 / 3 E * (1/Iu + 1/Iv) / 2 along the load, (1/Iv - 1/Iu) / 2 across it."""
    i_u, i_v = 1.74e5, 4.54e4
    axes = axes_along(np.array([[1.0, 0.0, 0.0]]), np.pi / 4)
    u = load(case(1, [ALL], at=[0], i_y=i_u, i_z=i_v, axes=axes), 1, 2, -P)[1, :, 0]
    c = P * L**3 / (3 * E)
    agree(u[2], -c * (1 / i_u + 1 / i_v) / 2, rel=1e-6)
    agree(abs(u[1]), c * (1 / i_v - 1 / i_u) / 2, rel=1e-6)


def test_load_at_the_centroid_twists_about_the_shear_centre():
    """Statics: the torque is the load times the lever; twist T L / G J. With the centroid off by y_s the
    tip turns by -P (-y_s) L / G J, and a load through the shear centre does not twist."""
    built = case(1, [ALL], at=[0], shear_centre=np.array([[20.0, 0.0]]))
    y = built.model.axes[0, 1]
    u = load(built, 1, 2, -P)[1, :, 0]  # the node lies on the centroid
    local_load_z = built.model.axes[0, 2] @ [0, 0, -P]
    agree(u[3], -20.0 * local_load_z * L / (G * J), rel=1e-6)
    lever = np.cross(20.0 * y, [0, 0, -P])
    f = np.zeros((2, 6, 1))
    f[1, 2], f[1, 3:, 0] = -P, lever
    assert abs(built.solve(f)[1, 3, 0]) < 1e-9 * abs(u[3])


def bent(points, n, **supports):
    """Members along a polyline, n elements each."""
    nodes = [np.asarray(points[0], float)]
    for a, b in itertools.pairwise(points):
        nodes += [np.asarray(a) + t * (np.subtract(b, a)) for t in np.linspace(0, 1, n + 1)[1:]]
    nodes = np.array(nodes)
    elements = np.column_stack([np.arange(len(nodes) - 1), np.arange(1, len(nodes))])
    # an area this large takes the stretch out, which the frame formulas leave out
    return assemble(
        FrameModel(
            nodes=nodes,
            elements=elements,
            axes=axes_along(np.diff(nodes, axis=0)),
            area=A * 1e6,
            i_y=I,
            i_z=I,
            j=J,
            e=E,
            g=G,
            **supports,
        )
    )


PORTAL = [(0, 0, 0), (0, 0, 700.0), (1200.0, 0, 700.0), (1200.0, 0, 0)]
PLANE = (1, 3, 5)  # keeps the portal in its plane


def test_fixed_portal_under_a_push():
    """Kleinlogel, H at the beam, k = (Ib/L)/(Ic/h): base moment H h / 2 * (3k+1)/(6k+1), knee
    H h / 2 * 3k/(6k+1);
    sway by slope-deflection: H h3 / 12 E I * (3k+2)/(6k+1)."""
    h, k, push = 700.0, 700.0 / 1200.0, 200.0
    built = bent(PORTAL, 1, **held([0, 3], [ALL, ALL]))
    f = np.zeros((4, 6, 1))
    f[[1, 2], 0] = push / 2
    u = built.solve(f)
    forces = built.end_forces(u)
    agree(
        np.abs(forces[0, 4:6, 0]).max(),
        push * h / 2 * (3 * k + 1) / (6 * k + 1), rel=1e-5
    )
    agree(np.abs(forces[0, 10:12, 0]).max(), push * h / 2 * 3 * k / (6 * k + 1), rel=1e-5)
    agree(u[1, 0, 0], push * h**3 / (12 * E * I) * (3 * k + 2) / (6 * k + 1), rel=1e-5)


def test_pinned_portal_under_a_push():
    """Slope-deflection: H h3 / 6 E I * (1 + 1 / 2k)."""
    h, k, push = 700.0, 700.0 / 1200.0, 200.0
    built = bent(PORTAL, 1, **held([0, 3], [(0, 1, 2, 3, 5)] * 2))
    f = np.zeros((4, 6, 1))
    f[[1, 2], 0] = push / 2
    agree(built.solve(f)[1, 0, 0], push * h**3 / (6 * E * I) * (1 + 1 / (2 * k)), rel=1e-5)


def test_bracket_loaded_across_its_plane():
    """Castigliano: P a3 / 3EI + P b3 / 3EI + P a b2 / G J."""
    a, b = 600.0, 400.0
    built = bent([(0, 0, 0), (a, 0, 0), (a, b, 0)], 1, **held([0], [ALL]))
    u = load(built, 2, 2, -P)
    agree(u[2, 2, 0], -P * (a**3 + b**3) / (3 * E * I) - P * a * b**2 / (G * J), rel=1e-5)


def test_quarter_circle_bow_girder():
    """Timoshenko, Strength of Materials II: P R3 [ (pi/4)/EI + (3 pi/4 - 2)/GJ ] for a load across the
    plane at the tip. The arc is 64 chords: 2e-4 off."""
    r, n = 500.0, 64
    t = np.linspace(0.0, np.pi / 2, n + 1)
    points = np.column_stack([r * np.cos(t), r * np.sin(t), 0 * t])
    built = bent(points, 1, **held([0], [ALL]))
    u = load(built, n, 2, -P)
    want = -P * r**3 * (np.pi / 4 / (E * I) + (3 * np.pi / 4 - 2) / (G * J))
    agree(u[n, 2, 0], want, rel=2e-4)


def test_crossed_beams_share_the_load():
    """Textbook grid: two equal simply supported beams crossing in the middle: (P/2) L3 / 48 E I."""
    nodes = np.array([[0, 0, 0], [-L / 2, 0, 0], [L / 2, 0, 0], [0, -L / 2, 0], [0, L / 2, 0.0]])
    elements = np.array([[1, 0], [0, 2], [3, 0], [0, 4]])
    kinds = [(0, 1, 2), (1, 2), (0, 2), (2,)]
    built = assemble(FrameModel(
        nodes=nodes, elements=elements, axes=axes_along(nodes[elements[:, 1]] - nodes[elements[:, 0]]),
        area=A, i_y=I, i_z=I, j=1e-3, e=E, g=G, **held([1, 2, 3, 4], kinds)))  # fmt: skip
    u = load(built, 0, 2, -P)
    agree(u[0, 2, 0], -(P / 2) * L**3 / (48 * E * I), rel=1e-5)


def test_rigid_top_on_four_fixed_legs():
    """Textbook: sway H h3 / 48 E I; torsional stiffness 4 (12 E I r2 / h3 + G J / h). The top is
    rigid offsets."""
    h, d = 700.0, np.array([[1, 1], [1, -1], [-1, 1], [-1, -1.0]]) * [400.0, 250.0]
    nodes = np.vstack([np.column_stack([d, np.zeros(4)]), [[0, 0, h]]])
    offsets = np.zeros((4, 2, 3))
    offsets[:, 1, :2] = d
    built = assemble(FrameModel(
        nodes=nodes, elements=np.array([[i, 4] for i in range(4)]),
        axes=axes_along(np.tile([[0, 0, h]], (4, 1))), offsets=offsets,
        area=1e9, i_y=I, i_z=I, j=J, e=E, g=G, **held(range(4), [ALL] * 4)))  # fmt: skip
    agree(load(built, 4, 0, P)[4, 0, 0], P * h**3 / (48 * E * I), rel=1e-5)
    r2 = 400.0**2 + 250.0**2
    stiff = 4 * (12 * E * I * r2 / h**3 + G * J / h)
    agree(load(built, 4, 5, 1e6)[4, 5, 0], 1e6 / stiff, rel=1e-5)

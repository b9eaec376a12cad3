"""What every frame must obey, whatever its shape."""

from dataclasses import replace

import numpy as np
import pytest

from framecore.errors import SolverError
from framecore.fem import Topology, assemble, element, gravity, modes
from tests.unit.fem.frames import axes_along, held, line, random_frame, random_loads

FULL = {"offsets": True, "shear": True, "shear_centre": True}
SEEDS = range(6)


@pytest.mark.parametrize("seed", SEEDS)
def test_stiffness_is_symmetric(seed):
    k = assemble(random_frame(seed, **FULL)).stiffness().toarray()
    assert np.abs(k - k.T).max() <= 1e-12 * np.abs(k).max()


@pytest.mark.parametrize("seed", SEEDS)
def test_a_free_frame_has_exactly_six_zero_modes(seed):
    built = assemble(random_frame(seed, **FULL))
    model = built.model
    ground = np.zeros((6 * model.n_nodes, 6 * model.n_nodes))
    at = (6 * built.topology.position[model.spring_nodes][:, None] + np.arange(6)).ravel()
    ground[at, at] = model.stiffness.ravel()
    k = built.stiffness().toarray() - ground
    scale = np.sqrt(k.diagonal())
    values = np.linalg.eigvalsh(k / np.outer(scale, scale))
    assert np.abs(values[:6]).max() < 1e-11
    assert values[6] > 1e-6


@pytest.mark.parametrize("seed", SEEDS)
def test_rigid_motion_strains_nothing(seed):
    model = random_frame(seed, **FULL)
    built = assemble(model)
    turn = np.array([1e-3, -2e-3, 1.5e-3])
    moved = np.array([1.0, 2.0, -3.0]) + np.cross(turn, model.nodes)
    motion = np.hstack([moved, np.tile(turn, (model.n_nodes, 1))])
    forces = built.end_forces(motion[:, :, None])
    assert np.abs(forces).max() < 1e-9 * np.abs(built.local).max()


@pytest.mark.parametrize("seed", SEEDS)
def test_reactions_balance_loads_and_weight(seed):
    model = random_frame(seed, **FULL)
    built = assemble(model)
    loads = random_loads(model)
    loads[:, :, 0] += gravity(model)[0]
    pull = built.reactions(built.solve(loads))
    force = loads[:, :3].sum(0) + pull[:, :3].sum(0)
    moment = _moment(model.nodes, loads) + _moment(model.nodes[model.spring_nodes], pull)
    assert np.abs(force).max() < 1e-8 * np.abs(loads[:, :3]).sum()
    assert np.abs(moment).max() < 1e-8 * np.abs(_moment(model.nodes, np.abs(loads))).max()


def _moment(points, f):
    return f[:, 3:].sum(0) + np.cross(points[:, None], f[:, :3].transpose(0, 2, 1)).sum(0).T


def test_weight_is_mass_times_gravity_about_the_right_point():
    model = random_frame(4, **FULL)
    n = model.n_nodes
    model = replace(
        model,
        mass_nodes=np.array([1, 2]),
        mass=np.array([0.1, 0.02]),
        mass_offset=np.array([[0, 0, 200.0], [30.0, -40.0, 5.0]]),
        mass_inertia=np.zeros((2, 3)),
    )
    loads, _ = gravity(model, (0.3, 0.2, -1.0))
    pull = np.array([0.3, 0.2, -1.0]) * 9806.65
    mass = model.density * model.area * model.length
    middle = (model.nodes[model.elements] + model.offsets).mean(1)
    at = np.vstack([middle, model.nodes[[1, 2]] + model.mass_offset])
    each = np.outer(np.r_[mass, model.mass], pull)
    assert loads[:, :3].sum(0) == pytest.approx(each.sum(0), rel=1e-12)
    moment = _moment(model.nodes, loads.reshape(n, 6, 1))[:, 0]
    assert moment == pytest.approx(np.cross(at, each).sum(0), rel=1e-10)


@pytest.mark.parametrize("seed", SEEDS)
def test_end_forces_balance_the_nodes(seed):
    """All end forces turned back to the nodes equal loads plus reactions."""
    model = random_frame(seed, **FULL)
    built = assemble(model)
    weight, fixed = gravity(model)
    u = built.solve(weight[:, :, None])
    back = built.transform.transpose(0, 2, 1) @ built.end_forces(u, fixed)
    total = np.zeros((model.n_nodes, 6, 1))
    np.add.at(total, model.elements, back.reshape(-1, 2, 6, 1))
    np.add.at(total, model.spring_nodes, -built.reactions(u))
    assert np.abs(total).max() < 1e-7 * np.abs(fixed).max()  # fixed-end loads are inside the end forces


@pytest.mark.parametrize("seed", SEEDS)
def test_turning_the_frame_turns_the_answer(seed):
    model = random_frame(seed, **FULL)
    # springs that are the same in every direction, as they do not turn with the frame
    model = replace(model, spring_stiffness=np.repeat(model.stiffness[:, [0, 3]], 3, 1))
    q, _ = np.linalg.qr(np.random.default_rng(seed).standard_normal((3, 3)))
    q *= np.sign(np.linalg.det(q))
    turned = replace(model, nodes=model.nodes @ q.T, axes=model.axes @ q.T, offsets=model.offsets @ q.T)
    loads = random_loads(model)
    both = np.kron(np.eye(2), q)
    u, v = assemble(model).solve(loads), assemble(turned).solve(both @ loads)
    assert np.abs(v - both @ u).max() < 1e-9 * np.abs(u).max()
    f, g = modes(assemble(model)).frequencies_hz, modes(assemble(turned)).frequencies_hz
    assert g == pytest.approx(f, rel=1e-6)


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize("parts", [2, 5, 8])
def test_splitting_a_member_keeps_the_nodes(seed, parts):
    model = random_frame(seed, **FULL)
    split = split_element(model, seed % len(model.elements), parts)
    loads = random_loads(model)
    more = np.concatenate([loads, np.zeros((parts - 1, 6, 3))])
    u, v = assemble(model).solve(loads), assemble(split).solve(more)
    assert np.abs(v[: len(u)] - u).max() < 1e-9 * np.abs(u).max()
    w, x = gravity(model)[0][:, :, None], gravity(split)[0][:, :, None]
    u, v = assemble(model).solve(w), assemble(split).solve(x)
    assert np.abs(v[: len(u)] - u).max() < 1e-9 * np.abs(u).max()


def split_element(model, e, parts):
    """The same frame with element e cut into equal parts; the new nodes lie on its centroid line."""
    ends = model.nodes[model.elements[e]] + model.offsets[e]
    t = np.linspace(0.0, 1.0, parts + 1)[1:-1, None]
    n, m = model.n_nodes, len(model.elements)
    chain = [model.elements[e, 0], *range(n, n + parts - 1), model.elements[e, 1]]
    new = np.column_stack([chain[:-1], chain[1:]])
    rows = np.r_[[i for i in range(m) if i != e], [e] * parts]
    offsets = model.offsets[rows]
    offsets[m - 1 :] = 0.0
    offsets[m - 1, 0], offsets[-1, 1] = model.offsets[e]
    names = ("axes", "area", "i_y", "i_z", "j", "e", "g", "density", "shear_y", "shear_z", "shear_centre")
    return replace(
        model, nodes=np.vstack([model.nodes, ends[0] + t * (ends[1] - ends[0])]),
        elements=np.vstack([np.delete(model.elements, e, 0), new]), offsets=offsets,
        **{name: getattr(model, name)[rows] for name in names},
    )  # fmt: skip


def test_solve_takes_one_case_without_the_last_axis():
    model = random_frame(1, offsets=True)
    loads = random_loads(model)
    built = assemble(model)
    assert np.array_equal(built.solve(loads[:, :, 0]), built.solve(loads[:, :, :1])[:, :, 0])


def test_a_topology_serves_the_next_frame_and_a_foreign_one_is_replaced():
    model = random_frame(2, offsets=True)
    first = assemble(model)
    taller = replace(model, nodes=model.nodes * 1.1, offsets=model.offsets * 1.1)
    again = assemble(taller, first.topology)
    assert again.topology is first.topology
    loads = random_loads(model)
    assert np.abs(again.solve(loads) - assemble(taller).solve(loads)).max() == 0.0
    other = line(4, 1000.0, **held([0], [range(6)]))
    assert assemble(other, first.topology).topology.n_nodes == 5
    assert not Topology.of(model.elements, model.n_nodes).fits(model.elements[::-1], model.n_nodes)


def test_released_springs_equal_a_frame_without_them():
    model = random_frame(3, offsets=True)
    off = np.zeros(len(model.spring_nodes), bool)
    off[1] = True
    without = replace(model, spring_nodes=model.spring_nodes[~off], spring_stiffness=model.stiffness[~off])
    loads = random_loads(model)
    u, v = assemble(model).released(off).solve(loads), assemble(without).solve(loads)
    assert np.abs(u - v).max() < 1e-9 * np.abs(v).max()


# ---- refusals ---------------------------------------------------------------------------------------


def test_a_free_frame_is_refused_by_name():
    with pytest.raises(SolverError, match=r"node \d+ at .* mm is free to move"):
        assemble(line(3, 900.0))


def test_a_free_turn_is_named():
    model = line(2, 800.0, **held([0, 2], [(0, 1, 2), (1, 2)], 1e5))
    with pytest.raises(SolverError, match="is free to move turning about x"):
        assemble(model)


def test_a_lonely_node_is_named():
    model = line(2, 800.0, **held([0], [range(6)], 1e5))
    with pytest.raises(SolverError, match=r"node 3 at \(5, 6, 7\)"):
        assemble(replace(model, nodes=np.vstack([model.nodes, [5.0, 6.0, 7.0]])))


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        ({"area": -1.0}, "element 0: area must be positive"),
        ({"i_y": np.array([1.0, np.nan])}, "i_y: row 1 holds a number that is not finite"),
        ({"axes": np.tile(np.eye(3)[[1, 2, 0]], (2, 1, 1))}, "element 0: local x must run"),
        ({"axes": np.tile(np.eye(3) * [[1], [1], [-1]], (2, 1, 1))}, "element 0: the axes must be"),
        ({"elements": np.array([[0, 1], [1, 7]])}, "elements must hold node numbers 0 to 2"),
        ({"elements": np.array([[0, 1], [1, 1]])}, "element 1 has no length"),
        ({"spring_nodes": np.array([0]), "spring_stiffness": -np.ones((1, 6))}, "spring 0"),
        ({"j": np.ones(3)}, "j must have the shape"),
    ],
)
def test_bad_models_get_one_sentence(change, sentence):
    with pytest.raises(SolverError, match=sentence):
        replace(line(2, 800.0), **change)


def test_loads_of_the_wrong_shape_are_refused():
    built = assemble(line(2, 800.0, **held([0], [range(6)], 1e5)))
    with pytest.raises(SolverError, match="loads must have the shape"):
        built.solve(np.zeros((2, 6, 1)))


# ---- local matrices against integrated shape functions ----------------------------------------------


def test_mass_and_geometric_matrices_by_integration():
    """Energy of the Timoshenko shape functions by Gauss points, with shear centre and rotary inertia."""
    model = line(1, 700.0, shear_y=250.0, shear_z=300.0, shear_centre=np.array([[12.0, -7.0]]))
    p_z, p_y = (float(p[0]) for p in element.shear_flexibility(model))
    length, y_s, z_s = 700.0, 12.0, -7.0
    points, weights = np.polynomial.legendre.leggauss(8)
    mass, geometric = np.zeros((12, 12)), np.zeros((12, 12))
    area, i_y, i_z = 600.0, 2.0e5, 1.2e5
    for point, weight in zip((points + 1) / 2, weights * length / 2, strict=True):
        u, tx = np.zeros(12), np.zeros(12)
        u[[0, 6]] = tx[[3, 9]] = 1 - point, point
        dtx = np.zeros(12)
        dtx[[3, 9]] = -1 / length, 1 / length
        v, rz, _ = _beam(point, length, p_z, (1, 5, 7, 11), 1.0)
        w, ry, _ = _beam(point, length, p_y, (2, 4, 8, 10), -1.0)
        rho = 7.85e-9 * weight
        moving = ((u, area), (v + z_s * tx, area), (w - y_s * tx, area))
        for row, factor in (*moving, (tx, i_y + i_z), (ry, i_y), (rz, i_z)):
            mass += rho * factor * np.outer(row, row)
        _, _, dv = _beam(point, length, 0.0, (1, 5, 7, 11), 1.0)
        _, _, dw = _beam(point, length, 0.0, (2, 4, 8, 10), -1.0)
        for row, factor in ((dv + z_s * dtx, 1.0), (dw - y_s * dtx, 1.0), (dtx, (i_y + i_z) / area)):
            geometric += weight * factor * np.outer(row, row)
    assert element.mass(model)[0] == pytest.approx(mass, rel=1e-10, abs=1e-12 * mass.max())
    assert element.geometric(model)[0] == pytest.approx(geometric, rel=1e-10, abs=1e-12 * geometric.max())


def _beam(x, length, p, dofs, sign):
    """Deflection, section rotation and slope of the deflection at x = 0..1, as rows over 12 freedoms."""
    out = np.zeros((3, 12))
    c = 1 / (1 + p)
    n = [
        1 - 3 * x**2 + 2 * x**3 + p * (1 - x),
        length * (x - 2 * x**2 + x**3 + p / 2 * (x - x**2)),
        3 * x**2 - 2 * x**3 + p * x,
        length * (-(x**2) + x**3 - p / 2 * (x - x**2)),
    ]
    d = [
        -6 * x + 6 * x**2 - p,
        length * (1 - 4 * x + 3 * x**2 + p / 2 * (1 - 2 * x)),
        6 * x - 6 * x**2 + p,
        length * (-2 * x + 3 * x**2 - p / 2 * (1 - 2 * x)),
    ]
    r = [
        -6 * (x - x**2) / length,
        1 - 4 * x + 3 * x**2 + p * (1 - x),
        6 * (x - x**2) / length,
        -2 * x + 3 * x**2 + p * x,
    ]
    turn = np.array([1.0, sign, 1.0, sign])  # ry = -w'
    out[0, list(dofs)] = c * np.array(n) * turn
    out[1, list(dofs)] = c * np.array(r) * turn * sign
    out[2, list(dofs)] = c * np.array(d) * turn / length
    return out


def test_axes_helper_is_right_handed():
    spans = np.random.default_rng(0).standard_normal((20, 3))
    axes = axes_along(spans, 0.7)
    assert np.linalg.det(axes) == pytest.approx(np.ones(20), rel=1e-12)

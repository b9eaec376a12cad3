"""Frames to try the finite elements on: invented, seeded, of varied shape."""

from __future__ import annotations

import numpy as np

from framecore.fem import FrameModel

STEEL = {"e": 210_000.0, "g": 81_000.0, "density": 7.85e-9}


def axes_along(spans: np.ndarray, turn: np.ndarray | float = 0.0) -> np.ndarray:
    """Local axes for members along ``spans`` (m, 3), turned by ``turn`` rad about their own line."""
    x = spans / np.linalg.norm(spans, axis=1)[:, None]
    upright = np.abs(x[:, 2]) > 0.9
    side = np.where(upright[:, None], [1.0, 0.0, 0.0], [0.0, 0.0, 1.0])
    y = np.cross(side, x)
    y /= np.linalg.norm(y, axis=1)[:, None]
    z = np.cross(x, y)
    c, s = np.cos(turn), np.sin(turn)
    c, s = np.broadcast_to(c, len(x))[:, None], np.broadcast_to(s, len(x))[:, None]
    return np.stack([x, c * y + s * z, c * z - s * y], axis=1)


def line(
    n: int, length: float, *, area=600.0, i_y=2.0e5, i_z=1.2e5, j=2.6e5, direction=(1.0, 0.0, 0.0), **more
) -> FrameModel:
    """A straight row of n equal elements from the origin."""
    nodes = np.linspace(0.0, length, n + 1)[:, None] * np.asarray(direction, float)
    elements = np.column_stack([np.arange(n), np.arange(1, n + 1)])
    values = STEEL | {"area": area, "i_y": i_y, "i_z": i_z, "j": j} | more
    axes = values.pop("axes", axes_along(np.diff(nodes, axis=0)))
    return FrameModel(nodes=nodes, elements=elements, axes=axes, **values)


def held(nodes, kind, stiffness=1e13):
    """Springs stiff enough to be supports; ``kind`` lists which of six freedoms each node has held."""
    k = np.zeros((len(nodes), 6))
    for row, freedoms in enumerate(kind):
        k[row, list(freedoms)] = stiffness
    k[:, 3:] *= 1e6  # a moment's arm is of the order of 1000 mm, on both sides
    return {"spring_nodes": np.array(nodes), "spring_stiffness": k}


def random_frame(seed: int, *, offsets: bool, shear: bool = False, shear_centre: bool = False) -> FrameModel:
    """A seeded space frame: a jittered grid of posts and rails, some left out, braces added."""
    rng = np.random.default_rng(seed)
    nx, ny, nz = rng.integers(2, 4), rng.integers(2, 4), rng.integers(2, 4)
    grid = np.stack(np.meshgrid(*(np.arange(n) for n in (nx, ny, nz)), indexing="ij"), -1).reshape(-1, 3)
    nodes = grid * rng.uniform(300.0, 700.0, 3) + rng.uniform(-60.0, 60.0, grid.shape)
    number = {tuple(p): i for i, p in enumerate(grid)}
    edges = []
    for p, i in number.items():
        for step in np.eye(3, dtype=int):
            other = number.get(tuple(np.add(p, step)))
            if other is not None and (step[2] or p[2] > 0) and (step[2] or rng.random() < 0.85):
                edges.append((i, other))
        brace = number.get(tuple(np.add(p, rng.choice([[1, 0, 1], [0, 1, 1]]))))
        if brace is not None and rng.random() < 0.4:
            edges.append((i, brace))
    elements = np.array(edges)
    elements = np.where(rng.random((len(elements), 1)) < 0.5, elements, elements[:, ::-1])
    m = len(elements)
    offset = rng.uniform(-30.0, 30.0, (m, 2, 3)) * (rng.random((m, 2, 1)) < 0.6) * offsets
    ends = nodes[elements] + offset
    area = rng.uniform(250.0, 900.0, m)
    feet = np.flatnonzero(grid[:, 2] == 0)
    stiff = rng.uniform(2e3, 2e5, (len(feet), 6)) * [1, 1, 1, 1e4, 1e4, 1e4]
    return FrameModel(
        nodes=nodes, elements=elements, axes=axes_along(ends[:, 1] - ends[:, 0], rng.uniform(-3, 3, m)),
        offsets=offset, area=area, i_y=area * rng.uniform(60, 400, m), i_z=area * rng.uniform(60, 400, m),
        j=area * rng.uniform(10, 500, m), shear_y=area * 0.45 * shear, shear_z=area * 0.5 * shear,
        shear_centre=rng.uniform(-15, 15, (m, 2)) * shear_centre,
        **STEEL, spring_nodes=feet, spring_stiffness=stiff,
    )  # fmt: skip


def random_loads(model: FrameModel, cases: int = 3, seed: int = 1) -> np.ndarray:
    """Nodal loads (n, 6, cases) in N and N mm."""
    rng = np.random.default_rng(seed)
    return rng.uniform(-1.0, 1.0, (model.n_nodes, 6, cases)) * np.array([500.0] * 3 + [2e4] * 3)[:, None]

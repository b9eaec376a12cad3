"""Statics of a stand-like frame beside OpenSees and PyNite: ``python -m tests.speed.statics``.

Each program builds the same frame from arrays and solves the same eight load cases, one after the other in
this run; medians of CPU time. Our own reuses the numbering of the freedoms from the frame before, as a drag
in the program does; what it costs to make is shown. OpenSees factors once for all cases.
"""

from __future__ import annotations

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # before numpy: small bands stall on several threads

import time
from collections.abc import Callable
from dataclasses import replace
from itertools import pairwise

import numpy as np

from framecore.fem import FrameModel, Topology, assemble, buckling_bound, contact, gravity, modes
from tests.unit.fem.frames import STEEL, axes_along
from tests.validation.peers import opensees_cases, opensees_modes, pynite_cases, pynite_turns

CASES = 8


def stand(parts: int) -> FrameModel:
    """Four legs, two rings, bearers, a stiff machine bed on top; members in ``parts`` elements."""
    xs, ys, zs = np.array([0.0, 350.0, 700.0, 1050.0]), np.array([0.0, 450.0]), np.array([0.0, 150.0, 750.0])
    nodes: list[np.ndarray] = []
    index: dict[tuple[float, ...], int] = {}

    def node(*p: float) -> int:
        key = tuple(round(float(c), 6) for c in p)
        if key not in index:
            index[key] = len(nodes)
            nodes.append(np.array(key))
        return index[key]

    lines: list[tuple[tuple[float, ...], tuple[float, ...], bool]] = []
    for x in (xs[0], xs[-1]):
        for y in ys:
            lines += [((x, y, zs[i]), (x, y, zs[i + 1]), False) for i in (0, 1)]
    for z in zs[1:]:
        for y in ys:
            lines += [((xs[i], y, z), (xs[i + 1], y, z), False) for i in range(3)]
        lines += [((x, ys[0], z), (x, ys[1], z), False) for x in xs]
    lines += [((xs[i], 225.0, 850.0), (xs[i + 1], 225.0, 850.0), True) for i in (1,)]
    lines += [((x, y, zs[2]), (x, 225.0, 850.0), True) for x in xs[1:3] for y in ys]
    lines += [((xs[0], ys[1], zs[1]), (xs[-1], ys[1], zs[2]), False)]
    elements, stiff = [], []
    for a, b, bed in lines:
        t = np.linspace(0.0, 1.0, (1 if bed else parts) + 1)[:, None]
        row = [node(*p) for p in np.asarray(a) + t * (np.asarray(b) - np.asarray(a))]
        elements += list(pairwise(row))
        stiff += [bed] * (len(row) - 1)
    points, pairs = np.array(nodes), np.array(elements)
    much = np.where(stiff, 20.0, 1.0)
    feet = np.flatnonzero(points[:, 2] == 0.0)
    top = np.flatnonzero(points[:, 2] == 850.0)
    return FrameModel(
        nodes=points, elements=pairs, axes=axes_along(points[pairs[:, 1]] - points[pairs[:, 0]]),
        area=541.0 * much, i_y=1.95e5 * much, i_z=1.95e5 * much, j=3.9e5 * much, **STEEL,
        spring_nodes=feet, spring_stiffness=np.tile([2e4, 2e4, 5e4, 1.0, 1.0, 1.0], (len(feet), 1)),
        mass_nodes=top, mass=np.full(len(top), 0.15 / len(top)), mass_inertia=np.full((len(top), 3), 500.0),
    )  # fmt: skip


def cases(model: FrameModel, push: float = 200.0) -> np.ndarray:
    """Eight nodal load cases (n, 6, 8): weight and pushes at the machine."""
    loads = np.repeat(gravity(model)[0][:, :, None], CASES, 2)
    top = model.mass_nodes
    for case in range(1, CASES):
        angle = 2.0 * np.pi * case / (CASES - 1)
        loads[top, 0, case] += push * np.cos(angle)
        loads[top, 1, case] += push * np.sin(angle)
    return loads


def median_ms(work: Callable[[], object], repeats: int) -> float:
    """Median CPU time of one call in ms, after a first call that does not count."""
    work()
    spent = []
    for _ in range(repeats):
        begin = time.process_time()
        work()
        spent.append(1e3 * (time.process_time() - begin))
    return float(np.median(spent))


def main() -> None:
    """Print the table."""
    print("statics, 8 load cases, build included; CPU ms (times ours)")
    print(f"{'nodes':>6} {'elements':>9} {'ours':>8} {'OpenSees':>17} {'PyNite':>17}")
    for parts in (2, 4):
        model = stand(parts)
        loads = cases(model)
        topology = assemble(model).topology
        turns = pynite_turns(model)

        def ours(model: FrameModel = model, loads: np.ndarray = loads, topology=topology) -> None:
            fresh = replace(model)
            built = assemble(fresh, topology)
            built.end_forces(built.solve(loads))

        mine = median_ms(ours, 200)
        sees = median_ms(lambda m=model, p=loads: opensees_cases(m, p), 15)
        nite = median_ms(lambda m=model, p=loads, t=turns: pynite_cases(m, p, turns=t), 3)
        print(
            f"{model.n_nodes:6d} {len(model.elements):9d} {mine:8.2f} "
            f"{sees:8.2f} ({sees / mine:5.1f}x) {nite:8.1f} ({nite / mine:5.0f}x)"
        )
        built = assemble(model, topology)
        u = built.solve(loads)
        axial = built.end_forces(u)[:, 6]
        warm = modes(built).start
        answer = contact(built, built.solve(cases(model, 1500.0)))
        side = built.solve(cases(model, 1500.0))
        rows = {
            "numbering of the freedoms, once": lambda m=model: Topology.of(m.elements, m.n_nodes),
            "model checks": lambda m=model: replace(m),
            "assemble + factor": lambda m=model, t=topology: assemble(m, t),
            "8 solves": lambda b=built, p=loads: b.solve(p),
            "end forces": lambda b=built, d=u: b.end_forces(d),
            "contact, nothing lifts": lambda b=built, d=u: contact(b, d),
            "contact, all pushes lift feet": lambda b=built, d=side: contact(b, d),
            "6 modes cold, with assemble": lambda m=model, t=topology: modes(assemble(m, t)),
            "6 modes warm, with assemble": lambda m=model, t=topology, w=warm: modes(assemble(m, t), start=w),
            "buckling bound, with assemble": lambda m=model, t=topology, a=axial: buckling_bound(
                assemble(m, t), a
            ),
        }
        print(f"       feet lifted by the pushes: {answer.open.sum()}; cases that tip: {answer.tips.sum()}")
        for name, work in rows.items():
            print(f"       {name:40s}{median_ms(work, 100):8.2f}")
        sees = median_ms(lambda m=model: opensees_modes(m, 6), 5)
        print(f"       {'6 modes by OpenSees, build included':40s}{sees:8.2f}   ")


if __name__ == "__main__":
    main()

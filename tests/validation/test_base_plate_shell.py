"""Base plates as strips, against OpenSees' shells (ShellMITC4), run here.

A plate on four points near its corners, a column at its middle that keeps its own square flat. Asked: how far the
column turns about y under a moment, and how far it sinks under a load. The strips' width (a strip as wide as it is
long, see ``strip_width``) was chosen on plates of other sizes; each direction has one strip only, so long plates come
out worst. Cells of 1/40 instead of 1/24 of
the plate move the shells' answers by 2 % at most; the printed ratios and bounds are of the coarser mesh.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from framecore.brief.model import Brief, Machine
from framecore.catalogue import steel
from framecore.frame.column import measure, strip_width
from tests.validation.record import agree

ops = pytest.importorskip("openseespy.opensees")
E = steel("S235").e
POISSON = 0.3
MOMENT, LOAD = 1e6, 1000.0


def lines(size, column, foot, cells):
    """Stations of the mesh along one axis: the plate's edges, the column's, the feet, and even steps between."""
    keep = sorted({-size / 2, -foot, -column / 2, 0.0, column / 2, foot, size / 2})
    out = [keep[0]]
    for a, b in pairwise(keep):
        n = max(1, round((b - a) / (size / cells)))
        out += [a + (b - a) * k / n for k in range(1, n + 1)]
    return np.array(out)


def shells(size, column, thickness, foot, cells=24):
    """Turn about y under ``MOMENT`` and sinking under ``LOAD`` of the column on its plate, rad and mm."""
    xs, ys = (lines(s, column, f, cells) for s, f in zip(size, foot, strict=True))
    out = []
    for dof, load in ((5, (0.0, 0.0, 0.0, 0.0, MOMENT, 0.0)), (3, (0.0, 0.0, -LOAD, 0.0, 0.0, 0.0))):
        ops.wipe()
        ops.model("basic", "-ndm", 3, "-ndf", 6)
        tag = {}
        for i, x in enumerate(xs):
            for j, y in enumerate(ys):
                tag[i, j] = len(tag) + 1
                ops.node(tag[i, j], float(x), float(y), 0.0)
        ops.section("ElasticMembranePlateSection", 1, E, POISSON, thickness, 0.0)
        for k, (i, j) in enumerate((i, j) for i in range(len(xs) - 1) for j in range(len(ys) - 1)):
            ops.element("ShellMITC4", k + 1, tag[i, j], tag[i + 1, j], tag[i + 1, j + 1], tag[i, j + 1], 1)
        middle = tag[int(np.abs(xs).argmin()), int(np.abs(ys).argmin())]
        for (i, j), n in tag.items():
            if n != middle and max(abs(xs[i]), abs(ys[j])) <= column / 2 + 1e-6:
                ops.rigidLink("beam", middle, n)
            if abs(abs(xs[i]) - foot[0]) < 1e-6 and abs(abs(ys[j]) - foot[1]) < 1e-6:
                ops.fix(n, 0, 0, 1, 0, 0, 0)
        ops.fix(middle, 1, 1, 0, 0, 0, 1)
        ops.timeSeries("Linear", 1)
        ops.pattern("Plain", 1, 1)
        ops.load(middle, *load)
        ops.constraints("Transformation")
        ops.numberer("RCM")
        ops.system("UmfPack")
        ops.algorithm("Linear")
        ops.integrator("LoadControl", 1.0)
        ops.analysis("Static")
        assert ops.analyze(1) == 0
        out.append(abs(ops.nodeDisp(middle, dof)))
    ops.wipe()
    return out


@pytest.mark.parametrize(
    ("size", "thickness", "column"),
    [
        ((450.0, 450.0), 12.0, "SHS 90x90x4"), ((600.0, 600.0), 15.0, "SHS 80x80x4"), ((550.0, 550.0), 20.0, "SHS 100x100x5"),
        ((650.0, 500.0), 15.0, "SHS 100x100x4"), ((450.0, 600.0), 15.0, "SHS 90x90x4"),
    ],
)  # fmt: skip
def test_base_plate_on_four_feet(size, thickness, column):
    b = Brief(machine=Machine(kind="grinder", mass=30.0))
    own = replace(b.frame.sections, column=column)
    frame = replace(
        b.frame, layout="column", length=size[0], depth=size[1], base="plate", base_thickness=thickness, sections=own
    )  # fmt: skip
    m = measure(replace(b, frame=frame), 900.0)
    x, y = m.foot_at
    turn, sinks = shells(size, m.column.width, thickness, (x, y))
    inertia = strip_width(m, x, y, size) * thickness**3 / 12
    each = np.hypot(x, y) ** 3 / (3 * E * inertia)
    ours = MOMENT / (4 * x) * each / x, LOAD / 4 * each
    print(f"{size}, {thickness:g} mm, {column}: turn {ours[0] / turn:.2f}, sinking {ours[1] / sinks:.2f} of the shells'")
    assert ours[0] >= 0.85 * turn and ours[1] >= sinks  # never stiffer than the shell by more than this
    agree(ours, (turn, sinks), rel=0.2, what="base plate's turn and sinking")

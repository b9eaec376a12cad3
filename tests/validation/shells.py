"""Frames of straight bars with sheet in them: our bars for the sheet, OpenSees' shells for the same sheet."""

from __future__ import annotations

import itertools
from dataclasses import dataclass, field

import numpy as np

from framecore.catalogue import profile
from framecore.fem import FrameModel, assemble
from framecore.frame.model import Plated
from framecore.strength._plated import plated_bars
from tests.validation.peers import opensees_build

E, G = 210_000.0, 80_769.0  # nu 0.3
SHELLS = 1_000_000  # tags of shell nodes and elements start here
STIFF = 1e9


def key(p):
    return tuple(round(float(v), 6) for v in p)


@dataclass
class Bars:
    """Bars along polylines, pinned to the floor at ``feet``, loaded at nodes."""

    runs: list = field(default_factory=list)  # (points, profile id, local y)
    feet: list = field(default_factory=list)
    held: tuple = (STIFF, STIFF, STIFF, 0.0, 0.0, 0.0)  # stiffness of a foot
    stiff: tuple = ()  # area and second moments for all bars instead of the profile's own
    at: dict = field(default_factory=dict)

    def add(self, points, name, y):
        self.runs.append(([key(p) for p in points], name, y))

    def model(self, plated=(), names=None) -> FrameModel:
        """The bars, and our bars for every sheet; ``names``: the nodes that sheets are tied to."""
        self.at, rows = {}, []
        for points, name, y in self.runs:
            s = profile(name).properties
            numbers = (s.area, s.iyy, s.izz, s.j) if not self.stiff else (self.stiff[0], *[self.stiff[1]] * 3)
            for p in points:
                self.at.setdefault(p, len(self.at))
            for a, b in itertools.pairwise(points):
                rows.append((a, b, y, (*numbers, E, G)))
        where = {n: key(p) for n, p in (names or {}).items()}
        for sheet in plated:
            for i, j, (area, i_y, i_z, twist, _, _, e, g, _) in plated_bars(sheet, where, E, G):
                x = np.subtract(where[j], where[i])
                y = np.cross(x, (0.31, 0.52, 0.77))
                rows.append((where[i], where[j], y / np.linalg.norm(y), (area, i_y, i_z, twist, e, g)))
        nodes = np.array(list(self.at))
        axes = []
        for a, b, y, _ in rows:
            x = np.subtract(b, a) / np.linalg.norm(np.subtract(b, a))
            axes.append([x, y, np.cross(x, y)])
        numbers = np.array([r[3] for r in rows]).T
        return FrameModel(
            nodes=nodes, elements=np.array([(self.at[a], self.at[b]) for a, b, *_ in rows]), axes=np.array(axes),
            area=numbers[0], i_y=numbers[1], i_z=numbers[2], j=numbers[3], e=numbers[4], g=numbers[5],
            spring_nodes=np.array([self.at[key(p)] for p in self.feet]),
            spring_stiffness=np.tile(self.held, (len(self.feet), 1)),
        )  # fmt: skip

    def loads(self, model, forces):
        """(n, 6, 1): ``forces`` {point: (fx, fy, fz)}."""
        out = np.zeros((model.n_nodes, 6, 1))
        for p, f in forces.items():
            out[self.at[key(p)], :3, 0] = f
        return out

    def ours(self, forces, plated=(), names=None):
        """Movement of the loaded nodes along their forces, weighted: the work done, N mm."""
        model = self.model(plated, names)
        loads = self.loads(model, forces)
        return float((assemble(model).solve(loads) * loads).sum())

    def shells(self, forces, sheets):
        """The same by OpenSees with every sheet a mesh of ShellMITC4.

        ``sheets``: (grid (r, c, 3) of points, thickness, ties) where ties are (grid index, bar node, kind) and kind
        "same", "rigid" or a spring stiffness in N/mm along x and y.
        """
        import openseespy.opensees as ops

        model = self.model()
        loads = self.loads(model, forces)
        opensees_build(model)
        tag = material = element = SHELLS
        for grid, thickness, ties in sheets:
            section = material = material + 1
            ops.section("ElasticMembranePlateSection", material, E, 0.3, thickness, 0.0)
            rows, columns, _ = grid.shape
            tags = np.zeros((rows, columns), int)
            held = {index: (self.at[key(p)] + 1, kind) for index, p, kind in ties}
            for i in range(rows):
                for j in range(columns):
                    bar, kind = held.get((i, j), (0, ""))
                    if kind == "same":
                        tags[i, j] = bar
                        continue
                    tag += 1
                    tags[i, j] = tag
                    ops.node(tag, *grid[i, j].tolist())
                    if kind == "rigid":
                        ops.rigidLink("beam", bar, tag)
                    elif kind:
                        material += 2
                        ops.uniaxialMaterial("Elastic", material, kind)
                        ops.uniaxialMaterial("Elastic", material + 1, STIFF)
                        element += 1
                        mats = [material, material, material + 1]
                        ops.element("zeroLength", element, bar, tag, "-mat", *mats, "-dir", 1, 2, 3)
            for i in range(rows - 1):
                for j in range(columns - 1):
                    element += 1
                    corners = [int(tags[i, j]), int(tags[i, j + 1]), int(tags[i + 1, j + 1]), int(tags[i + 1, j])]
                    ops.element("ShellMITC4", element, *corners, section)
        ops.timeSeries("Linear", 1)
        ops.pattern("Plain", 1, 1)
        for i in np.flatnonzero(loads[:, :, 0].any(1)).tolist():
            ops.load(i + 1, *loads[i, :, 0].tolist())
        solve()
        work = sum(float(np.dot(ops.nodeDisp(i + 1), loads[i, :, 0])) for i in range(model.n_nodes))
        ops.wipe()
        return work


def solve():
    """Solve the model that stands in OpenSees for its one pattern."""
    import openseespy.opensees as ops

    ops.constraints("Transformation")
    ops.numberer("RCM")
    ops.system("UmfPack")
    ops.algorithm("Linear")
    ops.integrator("LoadControl", 1.0)
    ops.analysis("Static", "-noWarnings")
    assert ops.analyze(1) == 0


@dataclass
class Portal:
    """Two pinned legs with a rail between them, square tubes alike, racked sideways along the rail.

    ``long`` between the legs' middles, ``high`` to the rail's middle, mm.
    """

    tube: float
    wall: float
    long: float
    high: float
    cells: int = 4  # across a wall

    @property
    def size(self):
        """Between the middles of two walls."""
        return self.tube - self.wall

    def whole_cells(self, side):
        """The gusset's side as a whole number of shells."""
        a = self.size / self.cells
        return round(side / a) * a

    def bars(self, side, thickness, width):
        """Work of a sway force of 1000 N on bars with our struts, N mm."""
        x, z = self.long / 2, self.high
        down, inward = z - self.tube / 2 - side, x - self.tube / 2 - side
        name = f"SHS {self.tube:.0f}x{self.tube:.0f}x{self.wall:.0f}"
        bars = Bars(held=(STIFF, STIFF, STIFF, 1e12, 0.0, 1e12), feet=[(-x, 0, 0), (x, 0, 0)])
        for s in (-1, 1):
            bars.add([(s * x, 0, 0), (s * x, 0, down), (s * x, 0, z)], name, (0, 1, 0))
        bars.add([(-x, 0, z), (-inward, 0, z), (inward, 0, z), (x, 0, z)], name, (0, 1, 0))
        names = {"ul": (-x, 0, down), "rl": (-inward, 0, z), "ur": (x, 0, down), "rr": (inward, 0, z)}
        gussets = [
            Plated(kind="gusset", plate="g", ends=(f"u{k}", f"r{k}"), width=width, thickness=thickness) for k in "lr"
        ]
        force = {(s * x, 0, z): (500.0, 0, 0) for s in (-1, 1)}
        return bars.ours(force, gussets if side else (), names)

    def shells(self, side, thickness):
        """The same with tubes and gussets of shells; corners sharp, the legs' tops capped."""
        import openseespy.opensees as ops

        n, d = self.cells, self.size
        a, h, x0, z0 = d / n, d / 2, self.long / 2, self.high
        ops.wipe()
        ops.model("basic", "-ndm", 3, "-ndf", 6)
        for k, t in enumerate((self.wall, thickness or 1.0)):
            ops.section("ElasticMembranePlateSection", k + 1, E, 0.3, t, 0.0)
        tags, made = {}, itertools.count(1)

        def node(*p):
            k = tuple(round(v, 4) for v in p)
            if k not in tags:
                tags[k] = len(tags) + 1
                ops.node(tags[k], *k)
            return tags[k]

        def shell(section, *points):
            kind = "ShellMITC4" if len(points) == 4 else "ShellDKGT"
            ops.element(kind, next(made), *[node(*p) for p in points], section)

        steps = [-h + k * a for k in range(n)]
        ring = [(v, -h) for v in steps] + [(h, v) for v in steps] + [(-v, h) for v in steps] + [(-h, -v) for v in steps]
        walls = list(zip(ring, ring[1:] + ring[:1], strict=True))
        count = round((z0 + h) / a)
        levels = [z0 + h - k * a for k in range(count, -1, -1)]
        for s in (-1, 1):
            for low, high in itertools.pairwise(levels):
                for (px, py), (qx, qy) in walls:
                    shell(1, (s * x0 + px, py, low), (s * x0 + qx, qy, low), (s * x0 + qx, qy, high), (s * x0 + px, py, high))
            for u, v in itertools.product(steps, steps):
                at = [(s * x0 + u + i * a, v + j * a, z0 + h) for i, j in ((0, 0), (1, 0), (1, 1), (0, 1))]
                shell(1, *at)
            foot = node(s * x0, 0.0, levels[0] - 10.0)
            ops.fix(foot, 1, 1, 1, 1, 0, 1)
            for px, py in ring:
                ops.rigidLink("beam", foot, node(s * x0 + px, py, levels[0]))
        end = x0 - h
        half = [-end + k * a for k in range(round(end / a))]
        for u, v in itertools.pairwise(half + [-k for k in reversed(half)]):
            for (py, pz), (qy, qz) in walls:
                shell(1, (u, py, z0 + pz), (u, qy, z0 + qz), (v, qy, z0 + qz), (v, py, z0 + pz))
        reach = round(side / a)
        for s, i, j in itertools.product((-1, 1), range(reach), range(reach)):
            if i + j >= reach or i == j == 0:
                continue
            # Cells of a triangle less its snipped corner, in the middle of the walls.
            at = {(p, q): (s * (end - p * a), 0.0, z0 - h - q * a) for p in (i, i + 1) for q in (j, j + 1)}
            last = () if i + j == reach - 1 else (at[i + 1, j + 1],)
            shell(2, at[i, j], at[i + 1, j], *last, at[i, j + 1])
        ops.timeSeries("Linear", 1)
        ops.pattern("Plain", 1, 1)
        corners = itertools.product((-x0, x0), (-h, h), (-h, h), range(n + 1))
        pushed = [node(x + e, y, z0 - h + k * a) for x, e, y, k in corners]
        for tag in pushed:
            ops.load(tag, 1000.0 / len(pushed), 0, 0, 0, 0, 0)
        solve()
        work = 1000.0 * float(np.mean([ops.nodeDisp(tag, 1) for tag in pushed]))
        ops.wipe()
        return work


__all__ = ["Bars", "E", "G", "Portal", "key"]

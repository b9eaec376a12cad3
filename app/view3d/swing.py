"""A mode as a moving shape: every member cut into short lengths that follow the analysis. Arrays only, no toolkit."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from framecore.fem import FrameModel
from framecore.frame.machine import machine_datum
from framecore.stand.model import Stand

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
LENGTHS = 6  # a span between two joints is cut into
_LARGE, _CELL = 250.0, 110.0  # a plate larger than this is cut into cells of about that, mm
_TOUCH = 2.0  # what lies this near a sheet lies on it, mm
_STUD = 6.0  # half the side of a drawn stud, mm
_BOX_EDGES = ((0, 1), (1, 2), (2, 3), (3, 0), (4, 5), (5, 6), (6, 7), (7, 4), (0, 4), (1, 5), (2, 6), (3, 7))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Swing:
    """One mode, ready to be drawn at any moment of its swing.

    Attributes
    ----------
    points : (n, 3) at rest, mm; ``way`` (n, 3) how they go, 1 for the farthest of the steel
    quads : (q, 4) sides of the lengths, counter-clockwise from outside; ``kind`` (q,) 0 a tube's, 1 a small plate's,
        2 a sheet's face, which has no ink of its own, 3 the edge of a large sheet, inked along it only
    glass : (g, 2) edges of the machine's boxes, points
    """

    points: Floats
    way: Floats
    quads: Ints
    kind: Ints
    glass: Ints

    def at(self, reach: float) -> Floats:
        """(n, 3) with the farthest point ``reach`` mm out."""
        return np.asarray(self.points + reach * self.way)


class _Maker:
    def __init__(self) -> None:
        self.points: list[Floats] = []
        self.way: list[Floats] = []
        self.quads: list[Floats] = []
        self.kind: list[int] = []
        self.count = 0

    def add(self, points: Floats, way: Floats) -> int:
        self.points.append(points)
        self.way.append(way)
        self.count += len(points)
        return self.count - len(points)

    def tube(self, rings: Floats, way: Floats, kind: int = 0) -> None:
        """Close a run of rings (r, s, 3) with sides and two ends."""
        r, s = rings.shape[:2]
        base = self.add(rings.reshape(-1, 3), way.reshape(-1, 3))
        k = np.arange(s)
        n = (k + 1) % s
        for ring in range(r - 1):
            a, b = base + ring * s, base + (ring + 1) * s
            self.quads.append(np.column_stack([a + k, a + n, b + n, b + k]))
            self.kind += [kind] * s
        last = base + (r - 1) * s
        if s == 4:
            self.quads.append(np.array([[base + 3, base + 2, base + 1, base], [last, last + 1, last + 2, last + 3]]))
            self.kind += [kind] * 2
        else:
            # A fan of triangles, each with its last corner twice.
            k = np.arange(1, s - 1)
            first = np.full(len(k), base)
            self.quads.append(np.column_stack([first, base + k + 1, base + k, base + k]))
            self.quads.append(np.column_stack([first + last - base, last + k, last + k + 1, last + k + 1]))
            self.kind += [2] * (2 * len(k))

    def sheet(self, grid: Floats, way: Floats, thick: Floats) -> None:
        """Lay a thin sheet of cells: ``grid`` (a, b, 3) its lower face, ``thick`` (3,) across it."""
        a, b = grid.shape[:2]
        flat = grid.reshape(-1, 3)
        low = self.add(flat, way)
        high = self.add(flat + thick, way)
        n = np.arange(a * b).reshape(a, b)
        cell = np.stack([n[:-1, :-1], n[1:, :-1], n[1:, 1:], n[:-1, 1:]], axis=-1).reshape(-1, 4)
        self.quads += [low + cell[:, ::-1], high + cell]
        self.kind += [2] * (2 * len(cell))
        rim = np.concatenate([n[:, 0], n[-1, 1:], n[-2::-1, -1], n[0, -2::-1]])
        side = np.column_stack([rim[:-1], rim[1:]])
        self.quads.append(np.column_stack([low + side, high + side[:, ::-1]]))
        self.kind += [3] * len(side)


def make_swing(stand: Stand, mode: int) -> Swing:
    """Return the shape of one mode."""
    s, frame = stand.strength, stand.frame
    model, shape = s.model, s.mode_shapes[:, :, mode]
    made = _Maker()
    of, stations = s.map.element_member, s.map.stations
    for index, member in enumerate(frame.members):
        rows = np.flatnonzero(of == index)
        rows = rows[np.argsort(stations[rows, 0])]
        width, height = member.profile.width / 2, member.profile.height / 2
        y, z = np.array(member.y_axis), np.array(member.z_axis)
        corner = np.array([(-1, -1), (1, -1), (1, 1), (-1, 1)]) * (width, height)
        arms = corner[:, :1] * y + corner[:, 1:] * z + np.dot(member.profile.box_centre, np.array([y, z]))
        lines, ways = [], []
        for k, row in enumerate(rows):
            at, u, turn = _along(model, shape, row)
            first = 0 if k == 0 else 1
            lines.append(at[first:, None] + arms)
            ways.append(u[first:, None] + np.cross(turn[first:, None], arms))
        if lines:
            made.tube(np.concatenate(lines), np.concatenate(ways))
    steel = made.count
    _plates(stand, shape, made)
    for foot, node in zip(frame.feet, s.map.foot_nodes, strict=True):
        head = int(np.abs(model.nodes - foot.top).sum(1).argmin())
        ring = np.array([(-1, -1, 0), (1, -1, 0), (1, 1, 0), (-1, 1, 0.0)])
        base, half = np.array(foot.base), foot.base_diameter / 2
        low = base + half * 0.85 * ring
        made.tube(np.array([low, low + np.array([0, 0, foot.base_height])]), np.broadcast_to(shape[node, :3], (2, 4, 3)))
        ends = np.array([base + _STUD * ring, np.array(foot.top) + _STUD * ring])
        made.tube(ends, np.array([np.tile(shape[node, :3], (4, 1)), np.tile(shape[head, :3], (4, 1))]))
    glass = _machine(stand, shape, made)
    way = np.concatenate(made.way)
    most = float(np.linalg.norm(way[: steel or None], axis=1).max(initial=0.0)) or 1.0
    points, quads, kind = np.concatenate(made.points), np.concatenate(made.quads).astype(np.int64), np.array(made.kind)
    seen = (kind != 0) | ~_under_sheets(stand, points[quads])
    return Swing(points=points, way=way / most, quads=quads[seen], kind=kind[seen], glass=glass)


def _under_sheets(stand: Stand, corners: Floats) -> NDArray[np.bool_]:
    """Which faces (q, 4, 3) lie flat against a large sheet: never seen, but the painter knows only where their middles are."""
    found = np.zeros(len(corners), bool)
    for plate in stand.frame.plates:
        low, high = plate.outline.min(0), plate.outline.max(0)
        if float((high - low).max()) <= _LARGE:
            continue
        u, v = np.array(plate.u_axis), np.array(plate.v_axis)
        flat = (corners - np.array(plate.origin)) @ np.column_stack([u, v, np.cross(u, v)])
        inside = (flat >= (*(low - _TOUCH), -_TOUCH)) & (flat <= (*(high + _TOUCH), plate.thickness + _TOUCH))
        found |= inside.all((1, 2))
    return found


def _along(model: FrameModel, shape: Floats, row: int) -> tuple[Floats, Floats, Floats]:
    """Points of one element's centroid line, their movement and turn, each (LENGTHS + 1, 3), bending included."""
    i, j = model.elements[row]
    offset, axes = model.end_offsets[row], model.axes[row]
    ends = model.nodes[[i, j]] + offset
    length = float(np.linalg.norm(ends[1] - ends[0]))
    turn = shape[[i, j], 3:] @ axes.T
    u = (shape[[i, j], :3] + np.cross(shape[[i, j], 3:], offset)) @ axes.T
    t = np.linspace(0, 1, LENGTHS + 1)[:, None]
    straight = u[0] + t * (u[1] - u[0])
    rolled = turn[0] + t * (turn[1] - turn[0])
    # Hermite: v' = rz, w' = -ry at both ends.
    h0, h1 = 2 * t**3 - 3 * t**2 + 1, 3 * t**2 - 2 * t**3
    g0, g1 = length * (t**3 - 2 * t**2 + t), length * (t**3 - t**2)
    slope = np.column_stack([turn[:, 2], -turn[:, 1]])
    straight[:, 1:] = h0 * u[0, 1:] + h1 * u[1, 1:] + g0 * slope[0] + g1 * slope[1]
    return ends[0] + t * (ends[1] - ends[0]), straight @ axes, rolled @ axes


def _plates(stand: Stand, shape: Floats, made: _Maker) -> None:
    """Plates go with the nodes near them."""
    s = stand.strength
    used = np.unique(s.model.elements[s.map.element_member >= 0])
    nodes, moved = s.model.nodes[used], shape[used]
    for plate in stand.frame.plates:
        u, v = np.array(plate.u_axis), np.array(plate.v_axis)
        across = plate.thickness * np.cross(u, v)
        corner, size = plate.outline.min(0), np.ptp(plate.outline, axis=0)
        if float(size.max()) > _LARGE:
            # A large sheet bends: cells that go with the nodes around them; notches at the legs are left out.
            count = np.maximum(2, np.ceil(size / _CELL).astype(int) + 1)
            a, b = (corner[k] + np.linspace(0, size[k], count[k]) for k in (0, 1))
            grid = np.array(plate.origin) + a[:, None, None] * u + b[None, :, None] * v
            flat = grid.reshape(-1, 3)
            weight = 1.0 / (((flat[:, None] - nodes) ** 2).sum(2) + 100.0) ** 2
            made.sheet(grid, (weight @ moved[:, :3]) / weight.sum(1, keepdims=True), across)
            continue
        lower = np.array(plate.origin) + plate.outline[:, :1] * u + plate.outline[:, 1:] * v
        flat = np.concatenate([lower, lower + across])
        near = int(((nodes - flat.mean(0)) ** 2).sum(1).argmin())
        way = moved[near, :3] + np.cross(moved[near, 3:], flat - nodes[near])
        made.tube(flat.reshape(2, -1, 3), way.reshape(2, -1, 3), 1)


def _machine(stand: Stand, shape: Floats, made: _Maker) -> Ints:
    """The boxes drawn for the machine go with its bed."""
    s = stand.strength
    rows = [k for k, part in enumerate(s.map.element_part) if part == "bed"]
    boxes = stand.brief.machine.outline
    if not boxes or not (rows or len(s.map.mount_nodes)):
        return np.zeros((0, 2), np.int64)
    at = np.unique(s.model.elements[rows]) if rows else s.map.mount_nodes
    at = at[np.argsort(s.model.nodes[at, 0])]
    x = s.model.nodes[at, 0]
    edges = []
    datum = np.array(machine_datum(stand.brief, stand.frame.seat))
    unit = np.array([(0, 0, 0), (1, 0, 0), (1, 1, 0), (0, 1, 0), (0, 0, 1), (1, 0, 1), (1, 1, 1), (0, 1, 1.0)])
    for box in boxes:
        corners = np.array(box.at) + datum + unit * box.size
        # Each box stays a box: it goes with the bed where its middle is.
        where = float(corners[:, 0].mean())
        mean = np.array([np.interp(where, x, shape[at, d]) for d in range(6)])
        arm = corners - np.array([np.interp(where, x, s.model.nodes[at, d]) for d in range(3)])
        base = made.add(corners, mean[:3] + np.cross(mean[3:], arm))
        edges += [(base + a, base + b) for a, b in _BOX_EDGES]
    return np.array(edges, np.int64)

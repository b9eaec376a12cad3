"""What the view shows, as plain arrays: lit faces, inked edges, machine, operator, floor. No toolkit."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from app.numbers import length
from app.theme import Palette, palette
from app.view3d.figure import body, operator_figure
from app.view3d.fittings import Small, rims, small_parts, studs
from app.view3d.pieces import Pieces, pieces_of
from framecore.fem.model import cross
from framecore.frame.machine import machine_datum
from framecore.frame.model import PlateRole
from framecore.stand.model import Stand

Floats = NDArray[np.float64]
Ints = NDArray[np.int32]
# Where the light comes from: over the operator's left shoulder, so that front, side and top differ.
_LIGHT = np.array([-0.35, -0.65, 0.75])
_LIGHT /= np.linalg.norm(_LIGHT)
GRID = 250.0
_SHEETS = (PlateRole.TOP, PlateRole.SHELF, PlateRole.TRAY, PlateRole.BACK, PlateRole.PANEL)
GLASS, VEIL = 22, 46  # how opaque machine and operator are, of 255
_BOX_FACES = np.array(
    [(0, 2, 1), (0, 3, 2), (4, 5, 6), (4, 6, 7), (0, 1, 5), (0, 5, 4), (1, 2, 6), (1, 6, 5), (2, 3, 7), (2, 7, 6),
     (3, 0, 4), (3, 4, 7)]
)  # fmt: skip
_BOX_EDGES = np.array(
    [(0, 1), (1, 2), (2, 3), (3, 0), (4, 5), (5, 6), (6, 7), (7, 4), (0, 4), (1, 5), (2, 6), (3, 7)]
)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Scene:
    """Everything that is drawn.

    Attributes
    ----------
    vertices, faces, pieces : the steel's mesh (n, 3) mm, (m, 3), and its convex pieces
    triangles : (m + n, 3, 3) corners of the steel, then of bolts and nuts, mm, counter-clockwise from outside
    face_part : (m + n,) part of each triangle; ``parts`` their names
    normal : (m + n, 3) its outward unit normal, zero where a triangle has no area
    face_colour : (m + n, 3) lit colour, 0..255
    small : the bolts and nuts, whose names come last in ``parts``
    edges : (k, 2) inked edges, vertices; ``edge_part`` (k,); ``edge_faces`` (k, 2) triangles beside each
    rims : (r, n, 3) drilled holes' rims on the face the drill enters; ``rim_part`` (r,)
    studs : (s, t, 3, 3) triangles of the feet's studs; ``stud_part`` (s,), ``stud_colour`` (s * t, 3)
    ghost : (g, 3, 3) triangles of the machine, drawn see-through; ``ghost_edges`` (h, 2, 3)
    floor : (f, 2, 3) grid lines; ``person`` (p, 3, 3) triangles of the operator and their
        ``person_colour`` (p, 3)
    elbow : (3,) the elbow, ``elbow_line`` (2, 3) level line from it to the stand, ``elbow_text`` its height
    """

    parts: tuple[str, ...]
    vertices: Floats
    faces: Ints
    pieces: Pieces
    triangles: Floats
    normal: Floats
    face_part: Ints
    face_colour: Floats
    edges: Ints
    edge_part: Ints
    edge_faces: Ints
    small: Small
    rims: Floats
    rim_part: Ints
    studs: Floats
    stud_part: Ints
    stud_colour: Floats
    ghost: Floats
    ghost_edges: Floats
    floor: Floats
    person: Floats
    person_colour: Floats
    elbow: Floats
    elbow_line: Floats
    elbow_text: str

    @property
    def points(self) -> Floats:
        """(n, 3) what a fit must hold: steel, machine and operator."""
        return np.concatenate([a.reshape(-1, 3) for a in (self.vertices, self.ghost, self.person)])

    @property
    def bounds(self) -> Floats:
        """(2, 3) lowest and highest corner of what the depths must hold: the floor too."""
        # One axis after the other: along rows of three numpy takes ten times as long.
        shapes = (self.vertices, self.ghost, self.person, self.floor)
        axes = [np.ascontiguousarray(a.reshape(-1, 3).T) for a in shapes if a.size]
        return np.array([np.min([a.min(1) for a in axes], axis=0), np.max([a.max(1) for a in axes], axis=0)])


def rgb(colour: str) -> Floats:
    """Return "#rrggbb" as three numbers 0..255."""
    return np.array([int(colour[i : i + 2], 16) for i in (1, 3, 5)], float)


def _is_dark() -> bool:
    return bool(rgb(palette().paper).sum() < rgb(palette().ink).sum())


def edge_colour() -> str:
    """Return the colour of inked edges: darker than every face, on dark paper too."""
    p = palette()
    return "#" + "".join(f"{round(0.6 * v):02x}" for v in rgb(p.paper)) if _is_dark() else p.ink


def build_scene(stand: Stand, lit: frozenset[str]) -> Scene:
    """Return the arrays of a stand; parts named in ``lit`` take the accent colour."""
    solids, layout = stand.solids, stand.solids.layout
    small = small_parts(stand)
    triangles = np.concatenate([solids.vertices[layout.faces], small.triangles])
    face_part = np.concatenate([layout.face_part, len(layout.parts) + small.face_name])
    machine = _machine_boxes(stand)
    corners = np.concatenate([_box(*b) for b in machine]) if machine else np.zeros((0, 3))
    offset = 8 * np.arange(len(machine))[:, None, None]
    person, elbow = operator_figure(stand)
    holes, hole_part = rims(stand)
    pins, pin_part = studs(stand)
    level = np.array([elbow, (elbow[0], -stand.frame.depth / 2, elbow[2])])
    normal = unit_normals(triangles)
    colours = _base_colours(stand, lit, small.names)
    return Scene(
        parts=(*layout.parts, *small.names), vertices=solids.vertices, faces=layout.faces,
        pieces=pieces_of(stand.frame, layout, solids.vertices), triangles=triangles, normal=normal,
        face_part=face_part, face_colour=_shade(normal, colours[face_part]), small=small,
        edges=layout.edges, edge_part=layout.edge_part,
        edge_faces=layout.edge_faces, rims=holes, rim_part=hole_part,
        studs=pins, stud_part=pin_part, stud_colour=_shade(unit_normals(pins.reshape(-1, 3, 3)), _tone("foot")),
        ghost=corners[(_BOX_FACES + offset).reshape(-1, 3)] if machine else np.zeros((0, 3, 3)),
        ghost_edges=corners[(_BOX_EDGES + offset).reshape(-1, 2)] if machine else np.zeros((0, 2, 3)),
        floor=_floor(stand), person=person, elbow=elbow, elbow_line=level,
        elbow_text=f"elbow {length(stand.height.elbow, stand.brief.units)}",
        person_colour=_person_colour(palette()),
    )  # fmt: skip


def _tone(kind: str) -> Floats:
    """Return the colour of a kind of part: its share of ink in the paper."""
    return _mixed(kind, palette())


@lru_cache(maxsize=16)
def _mixed(kind: str, p: Palette) -> Floats:
    # On dark paper steel must stand out from the ground by itself.
    light, dark = {
        "member": (0.20, 0.46), "plate": (0.30, 0.40), "foot": (0.55, 0.30), "caster": (0.62, 0.24), "sheet": (0.14, 0.50),
    }[kind]  # fmt: skip
    share = dark if _is_dark() else light
    return (1 - share) * rgb(p.paper) + share * rgb(p.ink)


def _base_colours(stand: Stand, lit: frozenset[str], small: tuple[str, ...]) -> Floats:
    """(parts + small, 3): steel takes a tone between paper and ink, wood a warmer one, what is lit the accent."""
    layout, plates = stand.solids.layout, stand.frame.plates
    wooden = frozenset(q.name for q in plates if not q.steel)
    tops = frozenset(q.name for q in plates if q.role in _SHEETS)
    return _colours_of((*layout.parts, *small), (*layout.kinds, *("foot" for _ in small)), wooden, tops, lit, palette())


@lru_cache(maxsize=2)
def _colours_of(
    names: tuple[str, ...], kinds: tuple[str, ...], wooden: frozenset[str], tops: frozenset[str], lit: frozenset[str],
    theme: Palette,
) -> Floats:  # fmt: skip
    paper, accent, sheet = rgb(theme.paper), rgb(theme.accent), _mixed("sheet", theme)
    colours = np.array([_mixed(k, theme) for k in kinds])
    for k, name in enumerate(names):
        if name in lit:
            colours[k] = accent if _is_dark() else 0.25 * paper + 0.75 * accent
        elif name in wooden:
            colours[k] = 0.80 * sheet + 0.20 * rgb("#a06a30")
        elif name in tops:
            colours[k] = sheet
    return colours


def unit_normals(triangles: Floats) -> Floats:
    """(n, 3): the unit normal of each of (n, 3, 3) triangles, zero where one has no area."""
    normal = cross(triangles[:, 1] - triangles[:, 0], triangles[:, 2] - triangles[:, 0])
    size = np.sqrt(np.einsum("ij,ij->i", normal, normal))
    return normal / np.where(size > 0, size, 1.0)[:, None]


def _shade(normal: Floats, base: Floats) -> Floats:
    return np.clip(base * (0.82 + 0.22 * (normal @ _LIGHT))[:, None], 0, 255)


@lru_cache(maxsize=2)
def _person_colour(colours: Palette) -> Floats:
    """(p, 3): a larger operator has the same normals."""
    return _shade(unit_normals(body()), rgb(colours.soft))


def _machine_boxes(stand: Stand) -> list[tuple[Floats, Floats]]:
    """Return (low corner, size) of every box of the machine, in the stand's axes."""
    datum = np.array(machine_datum(stand.brief, stand.frame.seat))
    return [(np.array(b.at) + datum, np.array(b.size)) for b in stand.brief.machine.outline]


def _box(low: Floats, size: Floats) -> Floats:
    unit = np.array([(0, 0), (1, 0), (1, 1), (0, 1)])
    plan = np.concatenate([np.column_stack([unit, np.zeros(4)]), np.column_stack([unit, np.ones(4)])])
    return np.asarray(low + plan * size)


def _floor(stand: Stand) -> Floats:
    """(f, 2, 3): a grid round the stand and the operator."""
    half_x = GRID * np.ceil((stand.frame.length / 2 + 500) / GRID)
    near, far = -GRID * np.ceil((stand.frame.depth / 2 + 900) / GRID), GRID * np.ceil((stand.frame.depth / 2 + 300) / GRID)
    xs, ys = np.arange(-half_x, half_x + 1, GRID), np.arange(near, far + 1, GRID)
    along = [((x, near, 0.0), (x, far, 0.0)) for x in xs]
    across = [((-half_x, y, 0.0), (half_x, y, 0.0)) for y in ys]
    return np.array(along + across)

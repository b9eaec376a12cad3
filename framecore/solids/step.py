"""STEP of the stand: solids with true arcs and cylinders, for programs that go on drawing. Needs the extra "step".

The library that writes it is large (some 400 MB), so nobody has to have it; without it there is no stand.step.
"""

from __future__ import annotations

import itertools
import re
import tempfile
from collections import defaultdict
from collections.abc import Iterable, Iterator
from functools import lru_cache
from importlib.util import find_spec
from itertools import pairwise
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from framecore.catalogue import thread
from framecore.catalogue.model import Profile, Shape
from framecore.frame.model import Frame, Hole
from framecore.solids.build import part_planes
from framecore.solids.exact import ground_corners
from framecore.words import say

Floats = NDArray[np.float64]
Corners = tuple[tuple[Floats, tuple[float, ...]], ...]
_OVER = 0.05  # mm a drill stands out before and behind
_DAY = "1980-01-01T00:00:00"  # a fixed one: the same brief gives the same file


@lru_cache
def has_step() -> bool:
    """Whether the library that writes STEP is installed."""
    return find_spec("OCP") is not None


def step_bytes(frame: Frame, title: str) -> bytes:
    """Return the stand as STEP (AP214): an assembly of named solids, mm, z up.

    Raises
    ------
    ImportError
        the extra "step" is not installed.
    """
    return _written(((say(name), solid) for name, solid in part_solids(frame)), title or "stand")


def rounded_corners(profile: Profile) -> Corners:
    """Return the profile's rings as corners (k, 2) and the radius at each, the outer counter-clockwise, holes clockwise."""
    if profile.closed:
        return tuple(
            (ring, (radius,) * 4) for ring, radius in zip(profile.outline, (profile.corner, profile.root), strict=True)
        )
    (ring,) = profile.outline
    toe, root = profile.toe, profile.root
    if profile.is_angle:
        return ((ring, (0.0, 0.0, toe, root, toe, 0.0)),)
    if profile.shape is Shape.CHANNEL:
        return ((ring, (0.0, 0.0, toe, root, root, toe, 0.0, 0.0)),)
    return ((ring, (0.0,) * len(ring)),)


def part_solids(frame: Frame) -> Iterator[tuple[str, Any]]:
    """Yield name and solid of every part in the frame's order."""
    drilled: dict[str, list[Hole]] = defaultdict(list)
    for hole in frame.holes:
        drilled[hole.owner].append(hole)
    ground = ground_corners(frame)
    planes = part_planes(frame)
    at = 0
    for m in frame.members:
        solid = _bar(_rings(m.profile), [a[at] for a in planes], m.profile.width + m.profile.height)
        for normal, offset in ground.get(m.name, ()):
            solid = _less(solid, _beyond(normal * offset, normal, m.start.point, m.length))
        yield m.name, _drilled(solid, drilled[m.name])
        at += 1
    for p in frame.plates:
        rings: Corners = ((p.outline, (0.0,) * len(p.outline)),)
        solid = _bar(rings, [a[at] for a in planes], 0.0)
        yield p.name, _drilled(solid, drilled[p.name])
        at += 1
    for f in frame.feet:
        solid = _rod(f.base, (0.0, 0.0, 1.0), f.base_diameter / 2, f.base_height)
        long = f.top[2] - f.base[2] - f.base_height
        if long >= _OVER:
            low = (f.base[0], f.base[1], f.base[2] + f.base_height / 2)
            stud = _rod(low, (0.0, 0.0, 1.0), thread(f.thread).diameter / 2, long + f.base_height / 2)
            solid = _joined(solid, stud)
        yield f.name, solid
        at += 1
    for c in frame.casters:
        low, high = planes[0][at], planes[2][at]
        yield c.name, _rod(low, c.axis, c.wheel / 2, float(np.linalg.norm(high - low)))
        at += 1


def _rings(profile: Profile) -> Corners:
    """Rings with radii; a round bar or tube is a square whose corners have half its side."""
    if profile.shape not in (Shape.ROUND_TUBE, Shape.ROUND_BAR):
        return rounded_corners(profile)
    square = np.array([(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)])
    outer, inner = profile.height / 2, profile.height / 2 - profile.wall_design
    out: Corners = ((outer * square, (outer,) * 4),)
    return (*out, (inner * square[::-1], (inner,) * 4)) if profile.shape is Shape.ROUND_TUBE else out


def _point(v: Any) -> Any:
    from OCP.gp import gp_Pnt

    x, y, z = (float(c) for c in v)
    return gp_Pnt(x, y, z)


def _wire(corners: Floats, radii: tuple[float, ...], place: Any) -> Any:
    """Close a wire round the corners with true arcs; ``place`` takes (y, z) into the stand's axes."""
    from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge, BRepBuilderAPI_MakeWire
    from OCP.GC import GC_MakeArcOfCircle

    ends: list[tuple[Floats, Floats, Floats | None]] = []  # where each corner's arc starts and ends, and its middle
    for p, before, after, radius in zip(
        corners, np.roll(corners, 1, axis=0), np.roll(corners, -1, axis=0), radii, strict=True
    ):
        if radius <= 0:
            ends.append((p, p, None))
            continue
        back, ahead = (q / np.linalg.norm(q) for q in (before - p, after - p))
        half = 0.5 * float(np.arccos(np.clip(back @ ahead, -1.0, 1.0)))
        bisector = (back + ahead) / np.linalg.norm(back + ahead)
        middle = p + radius * (1 / np.sin(half) - 1) * bisector
        reach = radius / np.tan(half)
        ends.append((p + reach * back, p + reach * ahead, middle))
    made = BRepBuilderAPI_MakeWire()
    for (start, end, bulge), (following, *_) in pairwise((*ends, ends[0])):
        a, b = _point(place(start)), _point(place(end))
        if bulge is not None:
            arc = GC_MakeArcOfCircle(a, _point(place(bulge)), b).Value()
            made.Add(BRepBuilderAPI_MakeEdge(arc).Edge())
        if float(np.linalg.norm(following - end)) > 1e-6:
            made.Add(BRepBuilderAPI_MakeEdge(b, _point(place(following))).Edge())
    return made.Wire()


def _bar(rings: Corners, planes: list[Floats], wide: float) -> Any:
    """Extrude rings and cut the ends by their planes; ``wide`` is how far a leaning plane may reach past the ends."""
    p0, n0, p1, n1, y, z = planes
    w = np.cross(y, z)
    w /= np.linalg.norm(w)
    leaning = [(p, n) for p, n in ((p0, n0), (p1, n1)) if abs(n @ w) < 1 - 1e-9]
    spare = [0.0 if abs(n @ w) >= 1 - 1e-9 else wide / abs(float(n @ w)) for n in (n0, n1)]
    start = p0 - spare[0] * w
    long = float((p1 - p0) @ w) + sum(spare)
    solid = _extruded(rings, start, y, z, long * w)
    for p, n in leaning:
        solid = _less(solid, _beyond(p, n, p, long))
    return solid


def _extruded(rings: Corners, start: Floats, y: Floats, z: Floats, along: Floats) -> Any:
    from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeFace
    from OCP.BRepPrimAPI import BRepPrimAPI_MakePrism
    from OCP.gp import gp_Vec

    wires = [_wire(c, r, lambda q: start + q[0] * y + q[1] * z) for c, r in rings]
    face = BRepBuilderAPI_MakeFace(wires[0], True)
    for hole in wires[1:]:
        face.Add(hole)
    return BRepPrimAPI_MakePrism(face.Face(), gp_Vec(*(float(v) for v in along))).Shape()


def _beyond(point: Any, normal: Floats, near: Any, size: float) -> Any:
    """Return a block that fills what lies beyond a plane, as far as a part of ``size`` near a point can reach."""
    normal = np.asarray(normal)
    level = np.eye(3)[int(np.argmin(np.abs(normal)))]
    u = np.cross(normal, level)
    u /= np.linalg.norm(u)
    # The point of the plane that is nearest to the part.
    at = np.asarray(near) - ((np.asarray(near) - point) @ normal) * normal
    half = 2 * size + 200.0
    square = half * np.array([(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)])
    return _extruded(((square, (0.0,) * 4),), at, u, np.cross(normal, u), half * normal)


def _drilled(solid: Any, holes: Iterable[Hole]) -> Any:
    for hole in holes:
        axis = np.asarray(hole.axis)
        start, radius, long = np.asarray(hole.centre) - _OVER * axis, hole.diameter / 2, hole.depth + 2 * _OVER
        if hole.slot > 0:
            u = np.asarray(hole.slot_axis)
            u = (u - (u @ axis) * axis) / np.linalg.norm(u - (u @ axis) * axis)
            a = hole.slot / 2 + radius
            box = np.array([(-a, -radius), (a, -radius), (a, radius), (-a, radius)])
            tool = _extruded(((box, (radius,) * 4),), start, u, np.cross(axis, u), long * axis)
        else:
            tool = _rod(start, axis, radius, long)
        solid = _less(solid, tool)
    return solid


def _rod(start: Any, axis: Any, radius: float, long: float) -> Any:
    from OCP.BRepPrimAPI import BRepPrimAPI_MakeCylinder
    from OCP.gp import gp_Ax2, gp_Dir

    return BRepPrimAPI_MakeCylinder(gp_Ax2(_point(start), gp_Dir(*(float(v) for v in axis))), radius, long).Shape()


def _less(solid: Any, tool: Any) -> Any:
    from OCP.BRepAlgoAPI import BRepAlgoAPI_Cut

    return _only(BRepAlgoAPI_Cut(solid, tool).Shape())


def _joined(one: Any, other: Any) -> Any:
    from OCP.BRepAlgoAPI import BRepAlgoAPI_Fuse

    return _only(BRepAlgoAPI_Fuse(one, other).Shape())


def _only(shape: Any) -> Any:
    """Take the one solid out of the compound a boolean returns; where it fell apart, keep the compound."""
    from OCP.TopAbs import TopAbs_SOLID
    from OCP.TopExp import TopExp_Explorer

    explorer = TopExp_Explorer(shape, TopAbs_SOLID)
    if not explorer.More():
        return shape
    first = explorer.Current()
    explorer.Next()
    return shape if explorer.More() else first


def _written(parts: Iterable[tuple[str, Any]], title: str) -> bytes:
    """Write names and shapes; no colours, which the library orders otherwise each time."""
    from OCP.APIHeaderSection import APIHeaderSection_MakeHeader
    from OCP.Interface import Interface_Static
    from OCP.Message import Message, Message_Gravity
    from OCP.STEPCAFControl import STEPCAFControl_Writer
    from OCP.TCollection import TCollection_ExtendedString, TCollection_HAsciiString
    from OCP.TDataStd import TDataStd_Name
    from OCP.TDocStd import TDocStd_Document
    from OCP.TopLoc import TopLoc_Location
    from OCP.XCAFDoc import XCAFDoc_DocumentTool

    document = TDocStd_Document(TCollection_ExtendedString("stand"))
    shapes = XCAFDoc_DocumentTool.ShapeTool_s(document.Main())
    root = shapes.NewShape()
    TDataStd_Name.Set_s(root, TCollection_ExtendedString(title, True))
    for name, solid in parts:
        label = shapes.AddShape(solid, False)
        TDataStd_Name.Set_s(label, TCollection_ExtendedString(name, True))
        placed = shapes.AddComponent(root, label, TopLoc_Location())
        TDataStd_Name.Set_s(placed, TCollection_ExtendedString(name, True))
    shapes.UpdateAssemblies()
    Interface_Static.SetCVal_s("write.step.unit", "MM")
    for printer in Message.DefaultMessenger_s().Printers():
        printer.SetTraceLevel(Message_Gravity.Message_Fail)  # it tells its progress on the screen otherwise
    writer = STEPCAFControl_Writer()
    writer.Transfer(document)
    header = APIHeaderSection_MakeHeader(writer.ChangeWriter().Model())
    header.SetTimeStamp(TCollection_HAsciiString(_DAY))
    header.SetName(TCollection_HAsciiString("stand.step"))
    header.SetAuthorValue(1, TCollection_HAsciiString(""))
    header.SetOrganizationValue(1, TCollection_HAsciiString(""))
    header.SetOriginatingSystem(TCollection_HAsciiString("Standwright"))
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "stand.step"
        writer.Write(str(path))
        return _steady(path.read_text(encoding="utf-8")).encode("ascii")


def _steady(text: str) -> str:
    """Number the occurrences from one (the library counts on from file to file) and write letters as STEP wants them."""
    count = itertools.count(1)

    def numbered(match: re.Match[str]) -> str:
        return f"{match[1]}{next(count)}'" + re.sub(r"\n *", "", match[2])  # its lines break by the number's length

    text = re.sub(r"(NEXT_ASSEMBLY_USAGE_OCCURRENCE\(')\d+'([^;]*;)", numbered, text)
    return re.sub(r"[^\x00-\x7f]+", lambda m: f"\\X2\\{m[0].encode('utf-16-be').hex().upper()}\\X0\\", text)

"""From a table row to a whole `Profile`: outlines and section properties."""

from __future__ import annotations

from math import atan2, pi, sqrt

import numpy as np
from numpy.typing import NDArray

from framecore.catalogue import _contour, _thinwall, _torsion
from framecore.catalogue._contour import Integrals, Ring
from framecore.catalogue._mass import kg_per_m
from framecore.catalogue._tables import Row
from framecore.catalogue.model import Profile, SectionProperties, Shape

_CHORDS = 12  # per quarter turn: the area of a small thick tube within 0.1 %
_TUBES = (Shape.SQUARE_TUBE, Shape.RECT_TUBE)
_ROUNDS = (Shape.ROUND_TUBE, Shape.ROUND_BAR)
_ANGLES = (Shape.EQUAL_ANGLE, Shape.UNEQUAL_ANGLE)


def _rings(row: Row) -> tuple[Ring, ...]:
    """Return the outer ring and the hole, counter-clockwise both, in the ring's own coordinates."""
    b, h, t = row.width, row.height, row.wall_design
    if row.shape in _TUBES:
        return _contour.box(b, h, row.corner), _contour.box(b - 2.0 * t, h - 2.0 * t, row.root)
    if row.shape is Shape.ROUND_TUBE:
        return _contour.box(h, h, h / 2.0), _contour.box(h - 2.0 * t, h - 2.0 * t, h / 2.0 - t)
    if row.shape is Shape.ROUND_BAR:
        return (_contour.box(h, h, h / 2.0),)
    if row.shape in _ANGLES:
        return (_contour.angle(b, h, t, row.root, row.toe),)
    if row.shape is Shape.CHANNEL:
        return (_contour.channel(b, h, t, row.flange, row.root, row.toe, row.slope, row.gauge),)
    return (_contour.box(b, h, 0.0),)


def _subtract(outer: Integrals, hole: Integrals) -> Integrals:
    return Integrals(*(a - b for a, b in zip(outer, hole, strict=True)))


def _about_centroid(whole: Integrals) -> tuple[float, float, float, float, float, float]:
    """Return area, centroid y, z and iyy, izz, iyz about the centroid."""
    a, y, z = whole.area, whole.s_y / whole.area, whole.s_z / whole.area
    return a, y, z, whole.i_yy - a * z * z, whole.i_zz - a * y * y, whole.i_yz - a * y * z


def _cheap(row: Row, rings: tuple[Ring, ...]) -> tuple[NDArray[np.float64], ...]:
    """Sharp corners; rounds as 24 points."""
    if row.shape in _ROUNDS:
        return tuple(ring.fine(6) for ring in rings)
    return tuple(ring.corners for ring in rings)


def _stress_points(row: Row, outer: Ring) -> NDArray[np.float64]:
    """Points of the outer boundary where a plane stress field peaks: corners, five points an arc."""
    if row.shape in _ROUNDS:
        return outer.fine(6)
    points = outer.fine(4)
    if row.shape in _ANGLES:  # the root is never the farthest point
        keep = np.array([*range(7), *range(12, len(points))])
        return points[keep] if row.root > 0.0 and row.toe > 0.0 else points
    return points


def _freeze(array: NDArray[np.float64]) -> NDArray[np.float64]:
    array = np.ascontiguousarray(array, dtype=np.float64)
    array.setflags(write=False)
    return array


def _principal(iyy: float, izz: float, iyz: float) -> tuple[float, float, float]:
    """Return i_u >= i_v and the angle of the axis u from +y."""
    mean, half = 0.5 * (iyy + izz), 0.5 * (iyy - izz)
    radius = sqrt(half * half + iyz * iyz)
    if radius < 1e-9 * mean:
        return mean, mean, 0.0
    if iyz == 0.0:
        return mean + radius, mean - radius, 0.0 if iyy > izz else 0.5 * pi
    return mean + radius, mean - radius, 0.5 * atan2(-2.0 * iyz, iyy - izz)


def _torsion_of(row: Row) -> tuple[float, float]:
    b, h, t = row.width, row.height, row.wall_design
    if row.shape in _TUBES:
        return _torsion.hollow(b, h, t, row.corner, row.root)
    if row.shape is Shape.ROUND_TUBE:
        return _torsion.circle(h, h - 2.0 * t)
    if row.shape is Shape.ROUND_BAR:
        return _torsion.circle(h)
    if row.shape in _ANGLES:
        j, w_t = _torsion.angle(b, h, t, row.root)
    elif row.shape is Shape.CHANNEL:
        j, w_t = _torsion.channel(b, h, t, row.flange, row.root)
    else:
        return _torsion.rectangle(max(b, h), min(b, h))
    table = (row.facts or {}).get("j", j)
    return table, w_t * table / j


def _wall_line(row: Row) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return the middle line of an angle or channel in its ring's coordinates, and the thicknesses."""
    b, h, t = row.width, row.height, row.wall_design
    if row.shape in _ANGLES:
        c = 0.5 * t
        return np.array([[b, c], [c, c], [c, h]]), np.array([t, t])
    # a tapered flange in short steps: its thick end near the web draws the shear centre in
    steps = 8 if row.slope else 1
    y = np.linspace(b, 0.5 * t, steps + 1)
    inner = row.flange + row.slope * (row.gauge - y)
    lower = np.column_stack([y, -0.5 * (h - inner)])
    flange = 0.5 * (inner[1:] + inner[:-1])
    line = np.concatenate([lower, lower[::-1] * np.array([1.0, -1.0])])
    return line, np.concatenate([flange, [t], flange[::-1]])


def _shear(row: Row, area: float, theta: float) -> tuple[float, float, tuple[float, float], float]:
    """Return shear areas along y and z (u and v for angles), the shear centre and the warping constant."""
    b, h, t = row.width, row.height, row.wall_design
    if row.shape in _TUBES:
        return (
            _thinwall.box_shear_area(h - t, b - t, t),
            _thinwall.box_shear_area(b - t, h - t, t),
            (0.0, 0.0),
            0.0,
        )
    if row.shape in _ROUNDS:
        bore = (h - 2.0 * t) / h if row.shape is Shape.ROUND_TUBE else 0.0
        shear = _thinwall.round_shear_area(area, bore)
        return shear, shear, (0.0, 0.0), 0.0
    if row.shape in _ANGLES or row.shape is Shape.CHANNEL:
        line, thickness = _wall_line(row)
        wall = _thinwall.open_wall(line, thickness, theta if row.shape in _ANGLES else 0.0)
        warping = wall.warping
        if row.shape in _ANGLES:  # legs that meet in one point warp only through their thickness
            warping = t**3 * ((b - 0.5 * t) ** 3 + (h - 0.5 * t) ** 3) / 36.0
        return wall.shear_1, wall.shear_2, wall.shear_centre, warping
    warping = (b * h) ** 3 / 144.0 if row.shape is Shape.FLAT else 0.0
    return 5.0 / 6.0 * area, 5.0 / 6.0 * area, (0.0, 0.0), warping


def _table_bending(row: Row, own: tuple[float, ...]) -> tuple[float, float, float, float, float, float]:
    """Replace area, centroid and second moments by the table's where it prints them."""
    facts = row.facts or {}
    if "area" not in facts:
        return own[0], own[1], own[2], own[3], own[4], own[5]
    iyy, izz = facts["ix"], facts["iy"]
    if row.shape is Shape.CHANNEL:
        return facts["area"], facts["x"], 0.0, iyy, izz, 0.0
    # the table prints the least principal moment; with ix and iy it fixes the product of inertia
    radius = 0.5 * (iyy + izz) - facts["iz"]
    iyz = -sqrt(max(radius * radius - (0.5 * (iyy - izz)) ** 2, 0.0))
    return facts["area"], facts["x"], facts["y"], iyy, izz, iyz


def _plastic(row: Row, rings: tuple[Ring, ...]) -> tuple[float, float]:
    facts = row.facts or {}
    if "zx" in facts:
        return facts["zx"], facts["zy"]
    if row.shape in _ROUNDS:
        bore = rings[1].radii[0] * 2.0 if len(rings) == 2 else 0.0
        modulus = float((row.height**3 - bore**3) / 6.0)
        return modulus, modulus
    smooth = tuple(r.fine(64) if k == 0 else r.fine(64)[::-1] for k, r in enumerate(rings))
    level = None if row.shape in _ANGLES else 0.0
    upright = 0.0 if row.shape is not Shape.CHANNEL and level == 0.0 else None
    return _contour.plastic_modulus(smooth, 1, level), _contour.plastic_modulus(smooth, 0, upright)


def build(row: Row) -> Profile:
    """Compute everything a `Profile` holds."""
    facts = row.facts or {}
    is_angle = row.shape in _ANGLES
    is_open = is_angle or row.shape is Shape.CHANNEL
    rings = _rings(row)
    whole = rings[0].integrals()
    if len(rings) == 2:
        whole = _subtract(whole, rings[1].integrals())
    area, y_c, z_c, iyy, izz, iyz = _table_bending(row, _about_centroid(whole))
    if not is_angle:  # symmetric: rounding noise must not turn the axes
        iyz = 0.0
    i_u, i_v, theta = _principal(iyy, izz, iyz)
    centroid = np.array([y_c, z_c])

    j, w_t = _torsion_of(row)
    shear_y, shear_z, centre, warping = _shear(row, area, theta)
    shear_centre = (0.0, 0.0)
    if is_open:
        shear_centre = (centre[0] - y_c, centre[1] - z_c if is_angle else 0.0)
    if "eo" in facts:
        shear_centre = (-(y_c + facts["eo"]), 0.0)

    points = _stress_points(row, rings[0]) - centroid
    extent = np.abs(rings[0].corners - centroid).max(axis=0)
    w_pl_y, w_pl_z = _plastic(row, rings)
    properties = SectionProperties(
        area=area,
        iyy=iyy,
        izz=izz,
        iyz=iyz,
        i_u=i_u,
        i_v=i_v,
        theta=theta,
        j=j,
        w_t=w_t,
        i_w=facts.get("cw", warping),
        shear_y=shear_y,
        shear_z=shear_z,
        shear_centre=shear_centre,
        w_el_y=facts.get("sx", iyy / float(extent[1])),
        w_el_z=facts.get("sy", izz / float(extent[0])),
        w_pl_y=w_pl_y,
        w_pl_z=w_pl_z,
        stress_points=_freeze(points),
        perimeter=rings[0].perimeter(),
        origin=row.origin,
    )

    def placed(outlines: tuple[NDArray[np.float64], ...]) -> tuple[NDArray[np.float64], ...]:
        return tuple(_freeze((o if k == 0 else o[::-1]) - centroid) for k, o in enumerate(outlines))

    box = (0.0, 0.0)
    if is_angle:
        box = (0.5 * row.width - y_c, 0.5 * row.height - z_c)
    elif row.shape is Shape.CHANNEL:
        box = (0.5 * row.width - y_c, 0.0)
    return Profile(
        id=row.id,
        shape=row.shape,
        system=row.system,
        standard=row.standard,
        height=row.height,
        width=row.width,
        wall=row.wall,
        wall_design=row.wall_design,
        flange=row.flange,
        corner=row.corner,
        root=row.root,
        toe=row.toe,
        kg_per_m=kg_per_m(row),
        box_centre=box,
        properties=properties,
        outline=placed(_cheap(row, rings)),
        outline_fine=placed(tuple(r.fine(_CHORDS) for r in rings)),
        note=row.note,
    )

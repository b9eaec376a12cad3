"""What the catalogue holds: profiles, sheets, steels, threads. Values only; the tables are in resources."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray


class Shape(StrEnum):
    """The family of a profile."""

    SQUARE_TUBE = "square tube"
    RECT_TUBE = "rectangular tube"
    ROUND_TUBE = "round tube"
    EQUAL_ANGLE = "equal angle"
    UNEQUAL_ANGLE = "unequal angle"
    FLAT = "flat"
    CHANNEL = "channel"
    ROUND_BAR = "round bar"
    SQUARE_BAR = "square bar"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SectionProperties:
    """Properties of a cross section about its centroid; axes y (width) and z (height).

    Attributes
    ----------
    area : mm2
    iyy, izz, iyz : second moments, mm4; iyy resists bending in z (about the y axis)
    i_u, i_v : principal second moments, i_u >= i_v, mm4
    theta : angle from +y to the principal axis u (the stiff axis of bending), rad
    j : Saint-Venant torsion constant, mm4
    w_t : torsion section modulus, peak shear = T / w_t, mm3
    i_w : warping constant, mm6 (0 for closed sections)
    shear_y, shear_z : shear areas for forces along y and z, mm2 (along the principal axes u and v for angles)
    shear_centre : (y, z) of the shear centre from the centroid, mm
    w_el_y, w_el_z : elastic moduli for bending about y and z, mm3
    w_pl_y, w_pl_z : plastic moduli, mm3
    stress_points : (k, 2) y, z of the points where bending stress peaks, mm from the centroid
    perimeter : outer perimeter, the face that is painted, mm
    origin : where the numbers come from, a sentence ("geometry, corner radius 2t", "AISC v16 table")
    """

    area: float
    iyy: float
    izz: float
    iyz: float
    i_u: float
    i_v: float
    theta: float
    j: float
    w_t: float
    i_w: float
    shear_y: float
    shear_z: float
    shear_centre: tuple[float, float]
    w_el_y: float
    w_el_z: float
    w_pl_y: float
    w_pl_z: float
    stress_points: NDArray[np.float64]
    perimeter: float
    origin: str


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Profile:
    """A section that is really sold.

    Local axes: y along the width, z along the height. The *corner box* is the rectangle width x height that
    the section fills; for an angle the heel is the box corner at -y, -z, one leg lies along +y (the width),
    the other along +z (the height); a channel's web is the -y side, its flanges point to +y.

    Attributes
    ----------
    id : catalogue name, unique: "SHS 50x50x3", "HSS 2x2x1/8", "L 50x50x5", "FL 50x6"
    system : "metric" or "inch"
    standard : "EN 10219-2", "ASTM A500", "EN 10056-1", ...
    height, width : outside sizes, mm
    wall : nominal wall, leg, web or flat thickness, mm
    wall_design : wall the properties are computed with, mm (0.93 x nominal for ASTM A500 ERW tube)
    flange : flange thickness of a channel, mm (else equal to wall)
    corner : outer corner radius of a tube, mm
    root : root radius of an angle or channel; the inner corner radius of a tube, mm
    toe : toe radius, mm
    kg_per_m : mass per metre by the nominal tables or by area, kg/m
    box_centre : (y, z) of the centre of the corner box from the centroid, mm
    properties : see SectionProperties
    outline : closed polygons (k, 2) about the centroid, counter-clockwise outer ring first, then holes
        clockwise; sharp corners (the cheap shape that is drawn live)
    outline_fine : the same with arcs (for the exact shape and detail drawings)
    note : anything a buyer should know, "" if nothing
    """

    id: str
    shape: Shape
    system: str
    standard: str
    height: float
    width: float
    wall: float
    wall_design: float
    flange: float
    corner: float
    root: float
    toe: float
    kg_per_m: float
    box_centre: tuple[float, float]
    properties: SectionProperties
    outline: tuple[NDArray[np.float64], ...]
    outline_fine: tuple[NDArray[np.float64], ...]
    note: str = ""

    @property
    def closed(self) -> bool:
        """Whether the section is a tube."""
        return self.shape in (Shape.SQUARE_TUBE, Shape.RECT_TUBE, Shape.ROUND_TUBE)

    @property
    def is_angle(self) -> bool:
        """Whether the section is an angle."""
        return self.shape in (Shape.EQUAL_ANGLE, Shape.UNEQUAL_ANGLE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Steel:
    """A grade: young and shear modulus, yield, tensile strength in MPa; density in kg/m3.

    ``tube``, ``other``: ids of the grades that tube, and angle, bar and plate, come in where this one is asked for;
    "" where it is made in that form itself.
    """

    id: str
    fy: float
    fu: float
    e: float
    g: float
    density: float
    source: str
    tube: str = ""
    other: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """Sheet as sold: ``thickness`` mm, ``gauge`` "11 ga" or "", ``system`` "metric" or "inch"."""

    id: str
    thickness: float
    gauge: str
    system: str
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Thread:
    """A screw thread.

    Attributes: nominal ``diameter``, ``pitch``, ``root_diameter`` (minor, external), ``stress_area`` mm2,
    ``tap_drill`` mm, clearance holes ``fine``, ``medium``, ``coarse`` mm, ``across_flats`` of the nut mm.
    """

    id: str
    system: str
    diameter: float
    pitch: float
    root_diameter: float
    stress_area: float
    tap_drill: float
    tap_drill_name: str
    fine: float
    medium: float
    coarse: float
    across_flats: float
    source: str

"""Small makers of members and plates that every layout uses."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from framecore.catalogue.model import Profile
from framecore.frame.model import EndCut, Member, Plate, PlateRole, Role, Vector

SQUARE = "square"
MITRE = "mitre"


def vector(values: NDArray[np.float64] | tuple[float, ...]) -> Vector:
    """Return three plain floats."""
    x, y, z = (float(v) for v in values)
    return x, y, z


def box_bar(
    name: str,
    role: Role,
    profile: Profile,
    *,
    start: Vector,
    end: Vector,
    y_axis: Vector,
    z_axis: Vector,
    start_normal: Vector | None = None,
    end_normal: Vector | None = None,
    chamfer: float = 0.0,
    note: str = "",
) -> Member:
    """Make a member from the line through the middle of its corner box.

    Layouts think in outside sizes, so ``start`` and ``end`` lie on the line of the box's middle; the member
    itself is stored by its centroid line. A normal that is not given means a square cut.

    Returns
    -------
    Member with its length over the longest fibre.
    """
    y, z = np.asarray(y_axis, float), np.asarray(z_axis, float)
    x = np.cross(y, z)
    b, c = profile.box_centre
    shift = -b * y - c * z
    ends = []
    reach = []
    corners = np.array(
        [(sy * profile.width / 2, sz * profile.height / 2) for sy in (-1, 1) for sz in (-1, 1)]
    )
    for where, given, outward in ((start, start_normal, -x), (end, end_normal, x)):
        box_point = np.asarray(where, float)
        normal = outward if given is None else np.asarray(given, float)
        slope = float(normal @ outward)
        point = box_point + shift
        # Slide along the member until the centroid line meets the plane through the box line's end.
        point = point + x * float((box_point - point) @ normal) / float(x @ normal)
        angle = math.acos(min(1.0, abs(slope)))
        kind = SQUARE if angle < 1e-9 else MITRE
        ends.append(EndCut(point=vector(point), normal=vector(normal), kind=kind, angle=angle))
        off = corners[:, :1] * y + corners[:, 1:] * z
        along = float(box_point @ x) - (off @ normal) / float(x @ normal)
        reach.append(along)
    length = float(reach[1].max() - reach[0].min())
    return Member(
        name=name,
        role=role,
        profile=profile,
        start=ends[0],
        end=ends[1],
        y_axis=vector(y),
        z_axis=vector(z),
        length=length,
        chamfer=chamfer,
        note=note,
    )


def rectangle(length: float, width: float) -> NDArray[np.float64]:
    """Return the outline of a rectangle about its middle, counter-clockwise, (4, 2) mm."""
    a, b = length / 2, width / 2
    return np.array([(-a, -b), (a, -b), (a, b), (-a, b)])


def flat_plate(
    name: str,
    role: PlateRole,
    *,
    outline: NDArray[np.float64],
    at: tuple[float, float],
    bottom: float,
    thickness: float,
    density: float,
    steel: bool = True,
    note: str = "",
) -> Plate:
    """Make a level plate whose lower face lies at ``bottom``; ``at`` is where its outline's origin stands."""
    return Plate(
        name=name,
        role=role,
        thickness=thickness,
        outline=outline,
        origin=(at[0], at[1], bottom),
        u_axis=(1.0, 0.0, 0.0),
        v_axis=(0.0, 1.0, 0.0),
        density=density,
        steel=steel,
        note=note,
    )

"""Small makers of members and plates that every layout uses."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from framecore.catalogue.model import Profile
from framecore.frame.model import EndCut, Member, Plate, PlateRole, Role, Vector
from framecore.frame.vector import along, cross, dot, minus

SQUARE = "square"
MITRE = "mitre"


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
    x = cross(y_axis, z_axis)
    back = (-x[0], -x[1], -x[2])
    b, c = profile.box_centre
    if start_normal is None and end_normal is None:
        first, last = _centroid(start, b, c, y_axis, z_axis), _centroid(end, b, c, y_axis, z_axis)
        return Member(
            name=name, role=role, profile=profile, start=EndCut(point=first, normal=back, kind=SQUARE, angle=0.0),
            end=EndCut(point=last, normal=x, kind=SQUARE, angle=0.0), y_axis=y_axis, z_axis=z_axis,
            length=dot(end, x) - dot(start, x), chamfer=chamfer, note=note,
        )  # fmt: skip
    w, h = profile.width / 2, profile.height / 2
    signs = ((-1, -1), (-1, 1), (1, -1), (1, 1))
    corners = [along(along((0.0, 0.0, 0.0), i * w, y_axis), j * h, z_axis) for i, j in signs]
    ends = []
    reach = []
    for where, given, outward in ((start, start_normal, back), (end, end_normal, x)):
        if given is None:
            ends.append(EndCut(point=_centroid(where, b, c, y_axis, z_axis), normal=outward, kind=SQUARE, angle=0.0))
            reach.append([dot(where, x)])
            continue
        normal = given
        lean = dot(x, normal)
        # Slide along the member until the centroid line meets the plane through the box line's end.
        point = _centroid(where, b, c, y_axis, z_axis)
        point = along(point, dot(minus(where, point), normal) / lean, x)
        angle = math.acos(min(1.0, abs(dot(normal, outward))))
        kind = SQUARE if angle < 1e-9 else MITRE
        ends.append(EndCut(point=point, normal=normal, kind=kind, angle=0.0 if kind == SQUARE else angle))
        middle = dot(where, x)
        reach.append([middle - dot(o, normal) / lean for o in corners])
    length = max(reach[1]) - min(reach[0])
    return Member(
        name=name,
        role=role,
        profile=profile,
        start=ends[0],
        end=ends[1],
        y_axis=y_axis,
        z_axis=z_axis,
        length=length,
        chamfer=chamfer,
        note=note,
    )


def _centroid(p: Vector, b: float, c: float, y: Vector, z: Vector) -> Vector:
    """Return the point of the centroid line beside a point of the box's line, whose middle lies at ``b``, ``c``."""
    return (p[0] - b * y[0] - c * z[0], p[1] - b * y[1] - c * z[1], p[2] - b * y[2] - c * z[2])


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
    on: tuple[str, ...] = (),
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
        on=on,
    )

"""Rings and rails: four rails as a rectangle, mitred, butted or between legs."""

from __future__ import annotations

import math
from functools import lru_cache

from framecore.catalogue.model import Profile
from framecore.frame._build import box_bar
from framecore.frame.model import Member, Role, Vector

ALONG_Y: Vector = (0.0, 1.0, 0.0)
UP: Vector = (0.0, 0.0, 1.0)
ACROSS_Y: Vector = (-1.0, 0.0, 0.0)
_H = 1 / math.sqrt(2)


# Kept, so that a drag of the height makes only the rails anew that it moves; a member never changes.
@lru_cache(maxsize=512)
def rail_along(
    name: str, role: Role, profile: Profile, x0: float, x1: float, y: float, top: float, mitre: int = 0
) -> Member:
    """Rail from ``x0`` to ``x1`` along the machine, its upper face at ``top``.

    ``mitre`` 0 square ends; +1 or -1 mitred towards +y or -y (the side the inside of the ring lies on).
    """
    z = top - profile.height / 2
    normals = ((-_H, mitre * _H, 0.0), (_H, mitre * _H, 0.0)) if mitre else (None, None)
    return box_bar(
        name, role, profile, start=(x0, y, z), end=(x1, y, z), y_axis=ALONG_Y, z_axis=UP,
        start_normal=normals[0], end_normal=normals[1],
    )  # fmt: skip


@lru_cache(maxsize=512)
def rail_across(
    name: str, role: Role, profile: Profile, y0: float, y1: float, x: float, top: float, mitre: int = 0
) -> Member:
    """Rail from ``y0`` to ``y1`` away from the operator; ``mitre`` +1 or -1: the inside lies towards +x or -x."""
    z = top - profile.height / 2
    normals = ((mitre * _H, -_H, 0.0), (mitre * _H, _H, 0.0)) if mitre else (None, None)
    return box_bar(
        name, role, profile, start=(x, y0, z), end=(x, y1, z), y_axis=ACROSS_Y, z_axis=UP,
        start_normal=normals[0], end_normal=normals[1],
    )  # fmt: skip


def whole_ring(
    prefix: str, role: Role, profile: Profile, length: float, depth: float, top: float, *, mitred: bool
) -> tuple[Member, ...]:
    """Ring of outside ``length`` x ``depth``: rails front, back, left, right.

    Mitred corners meet on 45 deg planes; butted corners have the long rails whole and the short ones between.
    """
    w = profile.width
    x, y = length / 2, depth / 2
    m = w / 2
    if mitred:
        return (
            rail_along(f"{prefix} front", role, profile, -x + m, x - m, -y + m, top, 1),
            rail_along(f"{prefix} back", role, profile, -x + m, x - m, y - m, top, -1),
            rail_across(f"{prefix} left", role, profile, -y + m, y - m, -x + m, top, 1),
            rail_across(f"{prefix} right", role, profile, -y + m, y - m, x - m, top, -1),
        )
    return (
        rail_along(f"{prefix} front", role, profile, -x, x, -y + m, top),
        rail_along(f"{prefix} back", role, profile, -x, x, y - m, top),
        rail_across(f"{prefix} left", role, profile, -y + w, y - w, -x + m, top),
        rail_across(f"{prefix} right", role, profile, -y + w, y - w, x - m, top),
    )


def rails_between(
    prefix: str, role: Role, profile: Profile, length: float, depth: float, top: float, leg: Profile
) -> tuple[Member, ...]:
    """Four rails between tube legs, their outer faces flush with the legs'."""
    x, y = length / 2, depth / 2
    m = profile.width / 2
    a, b = x - leg.width, y - leg.height
    return (
        rail_along(f"{prefix} front", role, profile, -a, a, -y + m, top),
        rail_along(f"{prefix} back", role, profile, -a, a, y - m, top),
        rail_across(f"{prefix} left", role, profile, -b, b, -x + m, top),
        rail_across(f"{prefix} right", role, profile, -b, b, x - m, top),
    )

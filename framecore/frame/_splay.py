"""Legs that lean outward to their feet, in pairs seen from the end of a stand."""

from __future__ import annotations

import math
from dataclasses import dataclass

from framecore.catalogue.model import Profile
from framecore.frame._build import box_bar
from framecore.frame.model import Member, Role, Vector

LEVEL: Vector = (0.0, 0.0, 1.0)
LEVEL_DOWN: Vector = (0.0, 0.0, -1.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class LegPair:
    """A front and a back leg that lean in y alone; both are cut level at ``bottom`` and ``top``.

    Attributes
    ----------
    leg : profile, its width along x
    depth : outside of both legs at ``bottom``, mm
    angle : of each leg from upright, rad
    """

    leg: Profile
    depth: float
    bottom: float
    top: float
    angle: float

    @property
    def band(self) -> float:
        """What a leg measures level in y, mm."""
        return self.leg.height / math.cos(self.angle)

    def outer(self, z: float) -> float:
        """Half the distance between the outer faces at level ``z``, mm."""
        return self.depth / 2 - (z - self.bottom) * math.tan(self.angle)

    def middle(self, z: float) -> float:
        """Half the distance between the legs' middles at level ``z``, mm."""
        return self.outer(z) - self.band / 2

    def inner(self, z: float) -> float:
        """Half the clear distance between the legs at level ``z``, mm."""
        return self.outer(z) - self.band

    def axes(self, side: int) -> tuple[Vector, Vector]:
        """Return local y and z of the leg on ``side`` of y; its x runs up the leg."""
        return (1.0, 0.0, 0.0), (0.0, math.cos(self.angle), side * math.sin(self.angle))

    def outward(self, side: int) -> Vector:
        """Unit normal out of the outer face of the leg on ``side`` of y; it points into the inner face."""
        return (0.0, side * math.cos(self.angle), math.sin(self.angle))

    def member(self, name: str, side: int, x: float) -> Member:
        """Return the leg on ``side`` of y whose middle stands at ``x``."""
        y_axis, z_axis = self.axes(side)
        return box_bar(
            name, Role.LEG, self.leg, start=(x, side * self.middle(self.bottom), self.bottom),
            end=(x, side * self.middle(self.top), self.top), y_axis=y_axis, z_axis=z_axis,
            start_normal=LEVEL_DOWN, end_normal=LEVEL,
        )  # fmt: skip

    def rail(self, name: str, role: Role, profile: Profile, x: float, top: float) -> Member:
        """Return a rail between the legs at ``x``, mitred to their inner faces, its upper face at ``top``."""
        z = top - profile.height / 2
        y = self.inner(z)
        return box_bar(
            name, role, profile, start=(x, -y, z), end=(x, y, z), y_axis=(-1.0, 0.0, 0.0), z_axis=LEVEL,
            start_normal=self.outward(-1), end_normal=self.outward(1),
        )  # fmt: skip

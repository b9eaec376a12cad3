"""An orbiting camera: where things land on the screen, and what ray a pixel looks along. Plain arrays, no toolkit."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from app.view3d.fit import fit

Floats = NDArray[np.float64]

# Elevation and azimuth in degrees of where the eye stands; z is up, the front looks along +y.
PRESETS = {"front": (0.0, -90.0), "side": (0.0, 0.0), "top": (90.0, -90.0), "three-quarter": (24.0, -55.0)}
MARGIN = 0.06  # of the picture, left free on each side by fit


@dataclass(frozen=True, kw_only=True)
class Camera:
    """A view of the model; every change gives a new one.

    Attributes
    ----------
    centre : (3,) mm, what the camera turns about
    elevation, azimuth : degrees
    distance : mm from the eye to the centre
    fov : degrees, across the width
    parallel : parallel lines stay parallel; the size at the centre is that of the perspective
    width, height : picture, logical pixels
    centre_of, radius : sphere that holds the model, mm; only depths depend on it
    """

    centre: Floats = field(default_factory=lambda: np.zeros(3))
    elevation: float = PRESETS["three-quarter"][0]
    azimuth: float = PRESETS["three-quarter"][1]
    distance: float = 3000.0
    fov: float = 32.0
    parallel: bool = False
    width: int = 800
    height: int = 600
    centre_of: Floats = field(default_factory=lambda: np.zeros(3))
    radius: float = 1500.0

    # -- where the camera stands -------------------------------------------------------------------------

    @cached_property
    def axes(self) -> Floats:
        """(3, 3): rows are right, up and towards the eye."""
        e, a = np.radians([self.elevation, self.azimuth])
        right = np.array([-np.sin(a), np.cos(a), 0.0])
        back = np.array([np.cos(e) * np.cos(a), np.cos(e) * np.sin(a), np.sin(e)])
        return np.stack([right, np.cross(back, right), back])

    @cached_property
    def eye(self) -> Floats:
        """(3,) mm; in parallel view the place the perspective would have."""
        return np.asarray(self.centre + self.distance * self.axes[2])

    @property
    def half_width(self) -> float:
        """Half of what the picture's width shows at the centre, mm."""
        return float(self.distance * np.tan(np.radians(self.fov) / 2))

    @cached_property
    def clip(self) -> tuple[float, float]:
        """Depths of the nearest and the farthest plane, mm in front of the eye; tight about the model."""
        depth = float(self.axes[2] @ (self.eye - self.centre_of))
        near, far = depth - 1.01 * self.radius, depth + 1.01 * self.radius
        if not self.parallel:
            near = max(near, 1e-3 * self.distance)
            far = max(far, 2.0 * near)
        return near, far

    # -- matrices ----------------------------------------------------------------------------------------

    @property
    def view_matrix(self) -> Floats:
        """(4, 4) model to eye."""
        m = np.eye(4)
        m[:3, :3] = self.axes
        m[:3, 3] = -self.axes @ self.eye
        return m

    @property
    def projection_matrix(self) -> Floats:
        """(4, 4) eye to the cube -1..1."""
        near, far = self.clip
        half_w = self.half_width
        half_h = half_w * self.height / max(self.width, 1)
        m = np.zeros((4, 4))
        if self.parallel:
            m[0, 0], m[1, 1], m[3, 3] = 1 / half_w, 1 / half_h, 1.0
            m[2, 2], m[2, 3] = -2 / (far - near), -(far + near) / (far - near)
        else:
            m[0, 0], m[1, 1], m[3, 2] = self.distance / half_w, self.distance / half_h, -1.0
            m[2, 2], m[2, 3] = -(far + near) / (far - near), -2 * far * near / (far - near)
        return m

    @cached_property
    def matrix(self) -> Floats:
        """(4, 4) model to the cube -1..1."""
        return self.projection_matrix @ self.view_matrix

    def project(self, points: Floats) -> Floats:
        """Return (n, 3): x and y in logical pixels from the top left corner, depth -1 near .. 1 far.

        Points that are not in front of the eye give nan.
        """
        points = np.asarray(points, float).reshape(-1, 3)
        m = self.matrix
        h = points @ m[:, :3].T + m[:, 3]
        w = np.where(h[:, 3] > 1e-9, h[:, 3], np.nan)
        n = h[:, :3] / w[:, None]
        return np.stack([(n[:, 0] + 1) * self.width / 2, (1 - n[:, 1]) * self.height / 2, n[:, 2]], axis=1)

    def ray(self, x: float, y: float) -> tuple[Floats, Floats]:
        """Return origin and unit direction of what the pixel (x, y) looks along."""
        right, up, back = self.axes
        scale = self.half_width / (self.width / 2)
        across = (x - self.width / 2) * scale * right + (self.height / 2 - y) * scale * up
        if self.parallel:
            # Behind everything that may lie between: the eye of a parallel view is only nominal.
            origin = self.eye + across + max(0.0, 1.0 - self.clip[0]) * back
            return np.asarray(origin), -back
        direction = across - self.distance * back
        return self.eye, np.asarray(direction / np.linalg.norm(direction))

    # -- moving ------------------------------------------------------------------------------------------

    def orbit(self, dx: float, dy: float) -> Camera:
        """Turn by a mouse way in pixels; the floor never tips over."""
        elevation = float(np.clip(self.elevation + 0.4 * dy, -90.0, 90.0))
        return replace(self, elevation=elevation, azimuth=(self.azimuth - 0.4 * dx + 180.0) % 360.0 - 180.0)

    def pan(self, dx: float, dy: float) -> Camera:
        """Shift so that what lies at the centre's depth follows the mouse."""
        scale = self.half_width / (self.width / 2)
        right, up, _ = self.axes
        return replace(self, centre=self.centre + scale * (dy * up - dx * right))

    def zoom(self, factor: float) -> Camera:
        """Come nearer (above 1) or go away."""
        return replace(self, distance=float(np.clip(self.distance / factor, 20.0, 1e6)))

    def turned(self, name: str) -> Camera:
        """Return the camera of a preset: front, side, top, three-quarter."""
        if name not in PRESETS:
            raise ValueError(f"no view is called {name!r}; there are {', '.join(PRESETS)}")
        elevation, azimuth = PRESETS[name]
        return replace(self, elevation=elevation, azimuth=azimuth)

    def sized(self, width: int, height: int) -> Camera:
        """Return the camera of another picture size."""
        if (self.width, self.height) == (max(width, 1), max(height, 1)):
            return self
        return replace(self, width=max(width, 1), height=max(height, 1))

    def holding(self, points: Floats) -> Camera:
        """Return the camera whose depths hold these points; the picture does not move."""
        low, high = points.min(0), points.max(0)
        return replace(self, centre_of=(low + high) / 2, radius=max(float(np.linalg.norm(high - low)) / 2, 1.0))

    def fit(self, points: Floats) -> Camera:
        """Return the camera that shows all points as large as the picture allows, in the same direction."""
        points = np.asarray(points, float).reshape(-1, 3)
        across = np.tan(np.radians(self.fov) / 2) * (1 - 2 * MARGIN)
        tan = np.array([across, across * self.height / max(self.width, 1)])
        centre, distance = fit(self.axes, points, tan, self.parallel)
        return replace(self, centre=centre, distance=max(distance, 20.0)).holding(points)

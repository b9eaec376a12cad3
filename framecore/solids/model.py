"""Shapes of the frame: one merged mesh with part indices, and mass properties."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class MeshLayout:
    """What stays while only positions change.

    Attributes
    ----------
    parts : part names in order: members, plates, feet, casters ("leg FL", "pad FL", "foot FL", "caster FL", ...)
    kinds : per part "member", "plate", "foot" or "caster"
    faces : (m, 3) int32, vertex indices, counter-clockwise from outside
    face_part : (m,) int32
    edges : (k, 2) int32, vertex indices of the feature edges that are inked
    edge_part : (k,) int32
    edge_faces : (k, 2) int32, the two faces beside each edge (-1 none)
    vertex_part : (n,) int32
    """

    parts: tuple[str, ...]
    kinds: tuple[str, ...]
    faces: NDArray[np.int32]
    face_part: NDArray[np.int32]
    edges: NDArray[np.int32]
    edge_part: NDArray[np.int32]
    edge_faces: NDArray[np.int32]
    vertex_part: NDArray[np.int32]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Solids:
    """Meshes and masses of a frame.

    Attributes
    ----------
    layout : index arrays, the same object as long as the topology is unchanged
    vertices : (n, 3) float64, mm
    volumes : (parts,) mm3, less the holes
    masses : (parts,) kg
    centroids : (parts, 3) mm
    paint_areas : (parts,) m2, outer faces without deductions for contacts
    """

    layout: MeshLayout
    vertices: NDArray[np.float64]
    volumes: NDArray[np.float64]
    masses: NDArray[np.float64]
    centroids: NDArray[np.float64]
    paint_areas: NDArray[np.float64]

    @property
    def mass(self) -> float:
        """Mass of the stand, kg."""
        return float(self.masses.sum())

    @property
    def centroid(self) -> NDArray[np.float64]:
        """Centre of mass of the stand, mm."""
        return np.asarray(self.masses @ self.centroids / self.masses.sum())

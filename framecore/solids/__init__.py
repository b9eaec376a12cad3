"""Shapes: meshes, mass properties, paint area."""

from __future__ import annotations

from framecore.solids.build import SolidsBuilder
from framecore.solids.model import MeshLayout, Solids

__all__ = ["MeshLayout", "Solids", "SolidsBuilder"]

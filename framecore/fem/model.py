"""The finite element model of a frame, as plain arrays.

Units throughout the package: mm, N, MPa, tonne (t), s; so density is in t/mm3 (steel 7.85e-9) and
an acceleration in mm/s2. Displacements are (ux, uy, uz, rx, ry, rz) in global axes, rotations in rad.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from framecore.errors import SolverError

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]
Bools = NDArray[np.bool_]

_AXES_TOL = 1e-6  # how far axes may be from orthonormal, or local x from the member's line
_NO_INTS: Ints = np.empty(0, np.intp)
_NO_FLOATS: Floats = np.empty(0)


@dataclass(frozen=True, eq=False, kw_only=True)
class FrameModel:
    """Straight beams between nodes, springs to ground, lumped masses.

    n nodes, m elements, s springs, q masses. Where the list says (m,) one number for all elements is
    accepted too; arrays left out are zero (no offsets, no shear deformation, ...).

    Attributes
    ----------
    nodes : (n, 3) mm
    elements : (m, 2) node numbers of end 1 and end 2
    axes : (m, 3, 3) rows are the local x, y, z unit vectors in global axes; x runs from end 1 to end 2,
        y and z are the principal axes of the section, right-handed
    offsets : (m, 2, 3) rigid global vectors from the node to the element's end on the centroid line, mm
    area : (m,) mm2
    i_y, i_z : (m,) second moments of area about local y and about local z, mm4
    j : (m,) torsion constant, mm4
    shear_y, shear_z : (m,) shear areas for a force along local y and z, mm2; ``inf`` or 0 means that
        there is no shear deformation
    shear_centre : (m, 2) local y, z of the shear centre from the centroid, mm
    e, g : (m,) MPa
    density : (m,) t/mm3
    spring_nodes, spring_stiffness : (s,) and (s, 6); diagonal, to ground, global axes, N/mm and N mm/rad
    mass_nodes, mass : (q,) and (q,) t
    mass_offset : (q, 3) global vector from the node to the centre of mass, mm
    mass_inertia : (q, 3) about the centre of mass, global axes, t mm2

    Raises
    ------
    SolverError
        Shapes do not fit, a number is not finite, or an element has no length, area or stiffness; the
        sentence names the array and the element.
    """

    nodes: Floats
    elements: Ints
    axes: Floats
    area: Floats | float
    i_y: Floats | float
    i_z: Floats | float
    j: Floats | float
    e: Floats | float
    g: Floats | float
    density: Floats | float = 0.0
    offsets: Floats | None = None
    shear_y: Floats | float = 0.0
    shear_z: Floats | float = 0.0
    shear_centre: Floats | None = None
    spring_nodes: Ints = field(default_factory=lambda: _NO_INTS)
    spring_stiffness: Floats | None = None
    mass_nodes: Ints = field(default_factory=lambda: _NO_INTS)
    mass: Floats = field(default_factory=lambda: _NO_FLOATS)
    mass_offset: Floats | None = None
    mass_inertia: Floats | None = None

    def __post_init__(self) -> None:
        nodes = np.asarray(self.nodes, float)
        elements = np.asarray(self.elements, np.intp)
        if nodes.ndim != 2 or nodes.shape[1] != 3:
            raise SolverError(f"nodes must be an (n, 3) array, not {nodes.shape}")
        if elements.ndim != 2 or elements.shape[1] != 2:
            raise SolverError(f"elements must be an (m, 2) array, not {elements.shape}")
        m, s, q = len(elements), len(self.spring_nodes), len(self.mass_nodes)
        shapes: dict[str, tuple[int, ...]] = {
            "nodes": nodes.shape, "axes": (m, 3, 3), "offsets": (m, 2, 3), "shear_centre": (m, 2),
            "spring_stiffness": (s, 6), "mass": (q,), "mass_offset": (q, 3), "mass_inertia": (q, 3),
        } | dict.fromkeys(("area", "i_y", "i_z", "j", "e", "g", "density", "shear_y", "shear_z"), (m,))
        for name, shape in shapes.items():
            object.__setattr__(self, name, _shaped(name, getattr(self, name), shape))
        object.__setattr__(self, "elements", elements)
        for name in ("elements", "spring_nodes", "mass_nodes"):
            array = np.asarray(getattr(self, name), np.intp)
            if array.size and (array.min() < 0 or array.max() >= len(nodes)):
                raise SolverError(f"{name} must hold node numbers 0 to {len(nodes) - 1}")
            object.__setattr__(self, name, array)
        self._check_elements()

    def _check_elements(self) -> None:
        self._refuse_signs(("area", "i_y", "i_z", "j", "e", "g"), np.less_equal, "element {}: {} must be positive")
        self._refuse_signs(("density", "shear_y", "shear_z"), np.less, "row {} of {} must not be negative")
        _refuse(self.mass < 0.0, "row {} of mass must not be negative")
        _refuse(np.asarray((self.stiffness < 0.0).any(1)), "spring {}: a stiffness must not be negative")
        length, axes = self.length, self.axes
        _refuse(length <= 0.0, "element {} has no length")
        off = np.abs(self.span / length[:, None] - axes[:, 0]).max(1)
        _refuse(off > _AXES_TOL, "element {}: local x must run from end 1 to end 2, offsets included")
        crooked = np.abs(axes @ axes.transpose(0, 2, 1) - np.eye(3)).max((1, 2)) > _AXES_TOL
        crooked |= (cross(axes[:, 0], axes[:, 1]) * axes[:, 2]).sum(1) < 0.0
        _refuse(crooked, "element {}: the axes must be three right-handed unit vectors")

    def _refuse_signs(self, names: tuple[str, ...], bad: np.ufunc, sentence: str) -> None:
        # All arrays at once first: an evaluation builds a model, and hardly ever one with a wrong sign.
        if bad(np.array([getattr(self, name) for name in names]), 0.0).any():
            for name in names:
                wrong = bad(self.per_element(name), 0.0)
                if wrong.any():
                    raise SolverError(sentence.format(int(np.flatnonzero(wrong)[0]), name))

    @property
    def n_nodes(self) -> int:
        """Number of nodes."""
        return len(self.nodes)

    @property
    def stiffness(self) -> Floats:
        """Spring stiffnesses, (s, 6)."""
        assert self.spring_stiffness is not None
        return self.spring_stiffness

    @property
    def end_offsets(self) -> Floats:
        """Rigid offsets, (m, 2, 3) mm."""
        assert self.offsets is not None
        return self.offsets

    @property
    def shear_centres(self) -> Floats:
        """Shear centre from the centroid, (m, 2) mm in local y and z."""
        assert self.shear_centre is not None
        return self.shear_centre

    @cached_property
    def span(self) -> Floats:
        """Global vector from end 1 to end 2 of each element, (m, 3) mm."""
        ends = self.nodes[self.elements] + self.end_offsets
        return ends[:, 1] - ends[:, 0]

    @cached_property
    def length(self) -> Floats:
        """Length between the element's ends, (m,) mm."""
        return np.asarray(np.sqrt(np.einsum("mi,mi->m", self.span, self.span)))

    def per_element(self, name: str) -> Floats:
        """Return a section or material array as (m,)."""
        return np.asarray(getattr(self, name), float)


def _shaped(name: str, value: object, shape: tuple[int, ...]) -> Floats:
    array: Floats = np.zeros(shape) if value is None else np.asarray(value, float)
    if array.shape != shape:
        if array.ndim:
            raise SolverError(f"{name} must have the shape {shape}, not {array.shape}")
        array = np.full(shape, float(array))
    finite = ~np.isnan(array) if name.startswith("shear_") else np.isfinite(array)
    if not finite.all():
        raise SolverError(f"{name}: row {np.argwhere(~finite)[0][0]} holds a number that is not finite")
    return array


def _refuse(bad: Bools, sentence: str) -> None:
    if bad.any():
        raise SolverError(sentence.format(int(np.flatnonzero(bad)[0])))


def cross(a: Floats, b: Floats) -> Floats:
    """Vector products of (..., 3) arrays; on small ones numpy's own spends its time on finding the axes."""
    out = np.empty(np.broadcast_shapes(a.shape, b.shape))
    out[..., 0] = a[..., 1] * b[..., 2] - a[..., 2] * b[..., 1]
    out[..., 1] = a[..., 2] * b[..., 0] - a[..., 0] * b[..., 2]
    out[..., 2] = a[..., 0] * b[..., 1] - a[..., 1] * b[..., 0]
    return out


def skew(v: Floats) -> Floats:
    """Matrix S with S @ a = v x a, for each of a stack of vectors: (..., 3) -> (..., 3, 3)."""
    out = np.zeros((*v.shape, 3))
    out[..., 0, 1], out[..., 0, 2], out[..., 1, 2] = -v[..., 2], v[..., 1], -v[..., 0]
    out[..., 1, 0], out[..., 2, 0], out[..., 2, 1] = v[..., 2], -v[..., 1], v[..., 0]
    return out

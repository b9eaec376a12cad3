"""The factored frame: displacements, end forces and reactions of any number of load cases."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from scipy.linalg.lapack import dpbtrf, dpbtrs
from scipy.sparse import csr_array

from framecore.errors import SolverError
from framecore.fem import element
from framecore.fem.model import Bools, Floats, FrameModel, skew
from framecore.fem.topology import Topology

DIRECTIONS = (
    "along x", "along y", "along z", "turning about x", "turning about y", "turning about z",
)  # fmt: skip
_PIVOT_FLOOR = 1e-12  # a pivot below this share of its diagonal is rounding, not stiffness


@dataclass(frozen=True, eq=False)
class Assembled:
    """A model with its factored stiffness matrix.

    Attributes
    ----------
    model : what was assembled
    topology : its numbering, to hand to the next ``assemble`` of the same elements
    transform : (m, 12, 12) local = transform @ global end freedoms
    local : (m, 12, 12) local stiffness times ``transform``: global freedoms to local end forces
    """

    model: FrameModel
    topology: Topology
    transform: Floats
    local: Floats
    _terms: Floats
    _factor: Floats

    def solve(self, loads: Floats) -> Floats:
        """Displacements (n, 6, c) in mm and rad for nodal loads (n, 6, c) in N and N mm; (n, 6) works too."""
        loads = np.asarray(loads, float)
        shape = (self.model.n_nodes, 6)
        if loads.shape[:2] != shape or loads.ndim > 3:
            raise SolverError(f"loads must have the shape {shape} or {(*shape, 'c')}, not {loads.shape}")
        cases = loads.reshape(*shape, -1)
        return self.topology.outward(self.solve_banded(self.topology.inward(cases))).reshape(loads.shape)

    def solve_banded(self, right: Floats) -> Floats:
        """Solve for right sides already in the banded order, (6 n, c)."""
        x, _ = dpbtrs(self._factor, right, lower=0)
        return np.asarray(x)

    def end_forces(self, displacements: Floats, fixed_end: Floats | None = None) -> Floats:
        """Local forces that act on both ends of each element.

        Parameters
        ----------
        displacements : (n, 6, c)
        fixed_end : (m, 12) or (m, 12, c) end forces with all nodes held, from ``gravity``; added

        Returns
        -------
        (m, 12, c) : for end 1 and then end 2: N, Vy, Vz, T, My, Mz in local axes, N and N mm. N acts at the
            centroid, Vy, Vz and T at the shear centre, My and Mz are taken about the centroid. They are
            the forces on the element: tension is ``-f[0]`` = ``f[6]``.
        """
        ends = displacements[self.model.elements]
        forces = self.local @ ends.reshape(len(ends), 12, -1)
        if fixed_end is not None:
            forces += fixed_end if fixed_end.ndim == 3 else fixed_end[:, :, None]
        return forces

    def reactions(self, displacements: Floats) -> Floats:
        """Forces of the springs on the frame, (s, 6, c) in N and N mm, global axes."""
        return -self.model.stiffness[:, :, None] * displacements[self.model.spring_nodes]

    @cached_property
    def mass(self) -> csr_array:
        """Consistent mass with lumped masses, (6 n, 6 n) in the banded order; t, t mm, t mm2."""
        model = self.model
        terms = self.transform.transpose(0, 2, 1) @ (element.mass(model) @ self.transform)
        return self.topology.sparse(terms, _node_masses(model))

    @cached_property
    def unit_geometric(self) -> Floats:
        """Geometric stiffness terms of each element for a unit tension, global axes, (m, 12, 12)."""
        return self.transform.transpose(0, 2, 1) @ (element.geometric(self.model) @ self.transform)

    def stiffness(self) -> csr_array:
        """Stiffness matrix with springs, (6 n, 6 n) in the banded order."""
        return self.topology.sparse(self._terms, _node_springs(self.model))

    def released(self, springs: Bools) -> Assembled:
        """Factor the same frame without the springs marked in ``springs`` (s,): feet that have lifted."""
        kept = np.where(np.asarray(springs, bool)[:, None], 0.0, self.model.stiffness)
        model = replace(self.model, spring_stiffness=kept)
        factor = _factored(model, self.topology, self._terms)
        return replace(self, model=model, _factor=factor)


def assemble(model: FrameModel, topology: Topology | None = None) -> Assembled:
    """Build and factor the stiffness matrix.

    ``topology`` of an earlier frame is used when it was made for the same elements, else a new one is made.

    Raises
    ------
    SolverError
        The frame can move without resistance; the sentence names the node and the direction.
    """
    if topology is None or not topology.fits(model.elements, model.n_nodes):
        topology = Topology.of(model.elements, model.n_nodes)
    transform = element.transform(model)
    local = element.stiffness(model) @ transform
    terms = transform.transpose(0, 2, 1) @ local
    return Assembled(model, topology, transform, local, terms, _factored(model, topology, terms))


def _factored(model: FrameModel, topology: Topology, terms: Floats) -> Floats:
    band = topology.band(terms, _node_springs(model))
    diagonal = band[-1].copy()
    factor, fault = dpbtrf(band, lower=0, overwrite_ab=1)
    if fault or (factor[-1] ** 2 <= _PIVOT_FLOOR * diagonal).any():
        raise SolverError(_loosest(model, topology, terms))
    return np.asarray(factor)


def _loosest(model: FrameModel, topology: Topology, terms: Floats) -> str:
    """Say which freedom moves most in the motion that meets no resistance."""
    matrix = topology.sparse(terms, _node_springs(model)).toarray()
    scale = np.sqrt(matrix.diagonal())
    scale[scale == 0.0] = 1.0
    _, shapes = np.linalg.eigh(matrix / np.outer(scale, scale))
    motion = np.abs(topology.outward(shapes[:, :1])[:, :, 0])
    node, direction = np.unravel_index(int(motion.argmax()), motion.shape)
    x, y, z = model.nodes[node]
    return (
        f"node {node} at ({x:.6g}, {y:.6g}, {z:.6g}) mm is free to move {DIRECTIONS[direction]}: "
        "nothing in the frame or its supports resists it"
    )


def _node_springs(model: FrameModel) -> Floats:
    out = np.zeros((model.n_nodes, 6))
    np.add.at(out, model.spring_nodes, model.stiffness)
    return out[:, :, None] * np.eye(6)


def _node_masses(model: FrameModel) -> Floats:
    out = np.zeros((model.n_nodes, 6, 6))
    if not len(model.mass_nodes):
        return out
    assert model.mass_offset is not None and model.mass_inertia is not None
    cross = skew(model.mass_offset)
    block = np.zeros((len(model.mass), 6, 6))
    eye = np.eye(3)
    block[:, :3, :3] = eye
    block[:, :3, 3:] = -cross
    block[:, 3:, :3] = cross
    block[:, 3:, 3:] = cross.transpose(0, 2, 1) @ cross
    block *= np.asarray(model.mass)[:, None, None]
    block[:, 3:, 3:] += model.mass_inertia[:, :, None] * eye
    np.add.at(out, model.mass_nodes, block)
    return out

"""Many stands of one family at once: stiffness, twist, frequencies, mass and steel.

The model is that of the full evaluation: Timoshenko beams with rigid offsets and shear centres, feet on springs, the
machine's bed on its mounts. Left out are lift-off of feet and the checks of strength: what may be best is evaluated in
full. Each element has six natural modes, so that K = B' k B with a diagonal k, and end forces are k B u.

Source: natural modes of a beam, Argyris, from memory; compared with the full evaluation in the tests.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from functools import partial

import numpy as np
from numpy.typing import NDArray
from scipy.linalg.lapack import dpbtrf, dpbtrs

from framecore.fem.gravity import STANDARD_GRAVITY
from framecore.fem.model import cross
from framecore.fem.topology import Topology
from framecore.search.kit import Shape
from framecore.search.shake import Shaker
from framecore.strength import UNIT_FORCE, UNIT_TORQUE
from framecore.strength._model import TONNE

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]
CHUNK = 32  # stands in one go: more no longer fit the processor's cache


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Screened:
    """Answers of k stands, each (k,) but ``hz``.

    ``sway_x``, ``sway_y`` N/mm; ``twist`` N mm/rad; ``bed`` share of a jack turn that reaches the bed, nan without one;
    ``hz`` lowest natural frequencies (k, 6), with all feet on the floor; ``rise`` of the foot that presses least under
    the stand's own weight, mm, above 0 where one lifts; ``mass`` kg; ``plates`` what plates cost at least; ``seams`` metal of
    fillets round all ends of members, mm3.
    """

    sway_x: Floats
    sway_y: Floats
    twist: Floats
    bed: Floats
    hz: Floats
    rise: Floats
    mass: Floats
    plates: Floats
    seams: Floats

    @staticmethod
    def joined(parts: list[Screened]) -> Screened:
        """Put stands one after another."""
        return Screened(**{f.name: np.concatenate([getattr(p, f.name) for p in parts]) for f in fields(Screened)})


class Solver:
    """Solves stands of one family, given as rows of ``kit``; ``carries`` (m,) which elements have mass."""

    def __init__(self, shape: Shape, topology: Topology, carries: NDArray[np.bool_]) -> None:
        self._shape, self.topology = shape, topology
        n, half = topology.n_nodes, topology.half_band
        self._size = 6 * n
        position = topology.position
        dof = (position[shape.elements][:, :, None] * 6 + np.arange(6)).reshape(-1, 12)
        row, col = np.repeat(dof, 12, 1).ravel(), np.tile(dof, 12).ravel()
        self._take = np.flatnonzero(row <= col)
        row, col = row[self._take], col[self._take]
        self._band = (half + 1) * self._size
        put = half + row - col + col * (half + 1)
        self._put = (put + np.arange(CHUNK)[:, None] * self._band).ravel()
        held = (position[shape.springs][:, None] * 6 + np.arange(6)).ravel()
        self._held, self._springs = half + held * (half + 1), shape.stiffness.ravel()
        self._nodes = np.argsort(position)  # node at each place of the band
        self.shaker = Shaker(shape, topology, carries)

    def solve(self, rows: Floats) -> Screened:
        """Answer stands given as rows (k, d).

        A stand that can move without resistance answers with nan.
        """
        return Screened.joined([self._some(rows[a : a + CHUNK]) for a in range(0, len(rows), CHUNK)])

    def _some(self, rows: Floats) -> Screened:
        shape, count, n = self._shape, len(rows), self.topology.n_nodes
        part = shape.split(rows)
        nodes = part["nodes"].reshape(count, n, 3)
        section = part["section"].reshape(count, -1, 6)
        natural, length, axes, offsets = self._natural(part, nodes)
        k = _stiffness(section, length, shape)
        terms = (natural.transpose(0, 1, 3, 2) @ (k[..., None] * natural)).reshape(count, -1)[:, self._take]
        flat: Floats = np.bincount(self._put[: terms.size], terms.ravel(), count * self._band).astype(float, copy=False)
        bands = flat.reshape(count, self._band)
        bands[:, self._held] += self._springs
        heavy = self._element_mass(part, section, length)
        loads = self._loads(part, nodes, heavy, offsets)
        columns = loads.shape[1]
        masses = self.shaker.masses(part, section, length, axes, heavy)
        shaken = masses.times(np.repeat(self.shaker.start.T[None], count, 0))
        loads = np.concatenate([loads, shaken], 1)
        half = self.topology.half_band
        solves = []
        for band, right in zip(bands, loads, strict=True):
            factor, fault = dpbtrf(band.reshape(self._size, half + 1).T, lower=0, overwrite_ab=1)
            if fault:
                right[:] = np.nan
            else:
                dpbtrs(factor, right.T, lower=0, overwrite_b=1)
            solves.append(partial(_solve, factor))
        hz = self.shaker.frequencies(masses, shaken, loads[:, columns:], solves)
        moved = np.empty((count, columns, n, 6))
        moved[:, :, self._nodes] = loads[:, :columns].reshape(count, columns, n, 6)
        return self._answers(part, nodes, section, natural, k, moved, hz)

    def _natural(self, part: dict[str, Floats], nodes: Floats) -> tuple[Floats, Floats, Floats, Floats]:
        """Rows of the six natural modes by end freedoms (k, m, 6, 12), lengths (k, m), axes (k, m, 3, 3), offsets."""
        count, shape = len(nodes), self._shape
        offsets = part["offsets"].reshape(count, -1, 2, 3)
        ends = nodes[:, shape.elements] + offsets
        x = ends[:, :, 1] - ends[:, :, 0]
        length = np.sqrt((x * x).sum(-1))
        x = x / length[..., None]
        y = part["y"].reshape(count, -1, 3)
        z = cross(x, y)
        z /= np.sqrt((z * z).sum(-1))[..., None]
        y = cross(z, x)
        y_s, z_s = np.moveaxis(part["shear_centre"].reshape(count, -1, 2), 2, 0)[..., None]
        out = np.zeros((count, x.shape[1], 6, 12))
        slope = 2.0 / length[..., None]
        for end, sign in ((0, -1.0), (1, 1.0)):
            o, a = offsets[:, :, end], 6 * end
            b = a + 3
            # A point on a rigid arm o moves along d by d u + (o x d) r; shear forces meet the shear centre.
            out[:, :, 0, a:b], out[:, :, 0, b : b + 3] = sign * x, sign * cross(o, x)
            out[:, :, 1, b : b + 3] = sign * x
            out[:, :, 2, b : b + 3] = sign * z
            out[:, :, 3, a:b] = -sign * slope * y
            out[:, :, 3, b : b + 3] = z - sign * slope * (cross(o, y) - z_s * x)
            out[:, :, 4, b : b + 3] = sign * y
            out[:, :, 5, a:b] = sign * slope * z
            out[:, :, 5, b : b + 3] = y + sign * slope * (cross(o, z) + y_s * x)
        return out, length, np.stack([x, y, z], 2), offsets

    def _element_mass(self, part: dict[str, Floats], section: Floats, length: Floats) -> Floats:
        """Mass of each element, (k, m) t: a member weighs what its steel weighs, spread over its elements."""
        member, area = self._shape.member, section[:, :, 0]
        per_mm = part["density"] * area
        own = member >= 0
        per_mm[:, own] = TONNE * area[:, own] * (part["volume"] / part["reach"])[:, member[own]]
        return np.asarray(per_mm * length)

    def _loads(self, part: dict[str, Floats], nodes: Floats, heavy: Floats, offsets: Floats) -> Floats:
        """Columns of loads in the banded order, (k, c, 6 n): weight, units along x and y and about z, couple on the bed."""
        shape, count = self._shape, len(nodes)
        n = self.topology.n_nodes
        out = np.zeros((count, 4 + bool(shape.bed), n, 6))
        half = 0.5 * STANDARD_GRAVITY * heavy
        for end in (0, 1):
            for axis, value in ((2, -half), (3, -half * offsets[:, :, end, 1]), (4, half * offsets[:, :, end, 0])):
                _scatter(out[:, 0, :, axis], shape.elements[:, end], value)
        arm = part["mass_offset"].reshape(count, -1, 3)
        lump = STANDARD_GRAVITY * part["mass"]
        for axis, value in ((2, -lump), (3, -lump * arm[..., 1]), (4, lump * arm[..., 0])):
            _scatter(out[:, 0, :, axis], shape.mass_nodes, value)
        ring = nodes[:, shape.ring]
        out[:, 1, shape.ring, 0] = out[:, 2, shape.ring, 1] = UNIT_FORCE / len(shape.ring)
        if len(shape.ring) == 1:
            out[:, 3, shape.ring, 5] = UNIT_TORQUE
        else:
            arms, spread = _arms(ring)
            out[:, 3, shape.ring, 0] = -UNIT_TORQUE * arms[..., 1] / spread
            out[:, 3, shape.ring, 1] = UNIT_TORQUE * arms[..., 0] / spread
        if shape.bed:
            out[:, -1, shape.bed[1], 3], out[:, -1, shape.bed[0], 3] = 1.0, -1.0
        return np.ascontiguousarray(out[:, :, self._nodes].reshape(count, out.shape[1], -1))

    def _answers(
        self, part: dict[str, Floats], nodes: Floats, section: Floats, natural: Floats, k: Floats, moved: Floats, hz: Floats
    ) -> Screened:  # fmt: skip
        shape, count = self._shape, len(nodes)
        at = moved[:, 1:4, shape.ring]
        if len(shape.ring) == 1:
            turn = at[:, 2, 0, 5]
        else:
            arms, spread = _arms(nodes[:, shape.ring])
            turn = (arms[..., 0] * at[:, 2, :, 1] - arms[..., 1] * at[:, 2, :, 0]).sum(1) / spread[:, 0]
        share = np.full(count, np.nan)
        if shape.bed:
            jacks = shape.jacks
            ends = moved[:, -1, shape.elements[jacks]].reshape(count, len(jacks), 12)
            pressed = k[:, jacks, 0] * (natural[:, jacks, 0] * ends).sum(-1)
            share = (pressed / part["rigid"]).min(1)
        own = np.flatnonzero(shape.member >= 0)
        area = part["plates"].reshape(count, -1, 2).prod(-1)
        # Every number but the section's own belongs to elements; a member's area is that of its first element.
        whole = np.unique(shape.member[own], return_index=True)[1]
        mass = (part["volume"] * section[:, own[whole], 0]).sum(1) + part["rest"].sum(1)
        return Screened(
            sway_x=UNIT_FORCE / at[:, 0, :, 0].mean(1), sway_y=UNIT_FORCE / at[:, 1, :, 1].mean(1),
            twist=UNIT_TORQUE / turn, bed=share, hz=hz, rise=moved[:, 0, shape.springs, 2].max(1),
            mass=mass, plates=area @ shape.plate_rate, seams=part["seams"].sum(1),
        )  # fmt: skip


def _stiffness(section: Floats, length: Floats, shape: Shape) -> Floats:
    """Natural stiffnesses (k, m, 6): EA/L, GJ/L, EIz/L, 3EIz/L(1+p), EIy/L, 3EIy/L(1+p)."""
    area, i_y, i_z, j, s_y, s_z = np.moveaxis(section[..., :6], -1, 0)
    e, g = shape.e / length, shape.g / length
    with np.errstate(divide="ignore"):  # no shear area: no shear deformation
        p_z = np.where(s_y > 0, 12 * e * i_z / (g * s_y * length**2), 0.0)
        p_y = np.where(s_z > 0, 12 * e * i_y / (g * s_z * length**2), 0.0)
    return np.stack([e * area, g * j, e * i_z, 3 * e * i_z / (1 + p_z), e * i_y, 3 * e * i_y / (1 + p_y)], -1)


def _arms(ring: Floats) -> tuple[Floats, Floats]:
    """x, y of ring nodes from their middle, (k, r, 2), and the sum of squares, (k, 1)."""
    arms = ring[..., :2] - ring[..., :2].mean(1, keepdims=True)
    return arms, (arms**2).sum((1, 2))[:, None]


def _scatter(out: Floats, at: Ints, values: Floats) -> None:
    """Add (k, m) values to the nodes ``at`` of out (k, n)."""
    n = out.shape[1]
    where = (at + np.arange(len(out))[:, None] * n).ravel()
    out += np.bincount(where, values.ravel(), out.size).reshape(out.shape)


def _solve(factor: Floats, right: Floats) -> None:
    """Displacements of one stand under (p, 6 n) loads, in place."""
    dpbtrs(factor, right.T, lower=0, overwrite_b=1)

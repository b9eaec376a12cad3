"""Many stands of one family at once: stiffness, sag, stress, first frequency, mass and steel.

The model is that of the full evaluation: Timoshenko beams with rigid offsets and shear centres, feet on springs, the
machine's bed on its mounts. Left out are lift-off of feet and code checks. Each element has six natural modes, so that
K = B' k B with a diagonal k, and end forces are k B u.

Source: natural modes of a beam, Argyris, from memory; inverse iteration with Rayleigh-Ritz, Parlett, The Symmetric
Eigenvalue Problem (1980), from memory; both are compared with the full evaluation in the tests.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray
from scipy.linalg.lapack import dpbtrf, dpbtrs

from framecore.brief.model import Brief
from framecore.catalogue import steel as find_steel
from framecore.fem.gravity import STANDARD_GRAVITY
from framecore.fem.model import cross, skew
from framecore.fem.topology import Topology
from framecore.search.kit import Shape
from framecore.strength import UNIT_FORCE, UNIT_TORQUE
from framecore.strength._model import TONNE
from framecore.units import KILOGRAM_FORCE

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]
CHUNK = 32  # stands in one go: more no longer fit the processor's cache
_CASES = np.array([  # own weight, push along x, along y, cut, setting down -> the cases that are checked
    (1, 0, 0, 0, 0), (1, 1, 0, 0, 0), (1, -1, 0, 0, 0), (1, 0, 1, 0, 0), (1, 0, -1, 0, 0), (1, 0, 0, 1, 0), (1, 0, 0, 0, 1),
], float)  # fmt: skip
_LOADS = _CASES.shape[1]
_TRIES = 3  # vectors of the inverse iteration


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Screened:
    """Answers of k stands, each (k,).

    ``sway_x``, ``sway_y`` N/mm; ``twist`` N mm/rad; ``bed`` share of a jack turn that reaches the bed, nan without one;
    ``first`` first natural frequency, Hz; ``sag`` under a mount, mm; ``use`` of the yield strength with its margin, a
    safe estimate; ``mass`` kg; ``plates`` what plates cost by mass; ``welds`` outside of all member ends, mm.
    """

    sway_x: Floats
    sway_y: Floats
    twist: Floats
    bed: Floats
    first: Floats
    sag: Floats
    use: Floats
    mass: Floats
    plates: Floats
    welds: Floats

    @staticmethod
    def joined(parts: list[Screened]) -> Screened:
        """Put stands one after another."""
        return Screened(**{f.name: np.concatenate([getattr(p, f.name) for p in parts]) for f in fields(Screened)})


class Solver:
    """Solves stands of one family, given as rows of ``kit``."""

    def __init__(self, brief: Brief, shape: Shape, topology: Topology) -> None:
        self._brief, self._shape, self._topology = brief, shape, topology
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
        self._start: Floats | None = None
        self._true = 1.0  # consistent over lumped mass, as it is on the family's first stand

    def begin(self, shapes: Floats, first: float, row: Floats) -> None:
        """Take mode shapes (n, 6, k) of one stand as a start, and its first frequency by consistent masses, Hz."""
        self._start = np.ascontiguousarray(shapes[self._nodes, :, :_TRIES].reshape(self._size, -1).T)
        self._true = 1.0
        self._true = first / float(self.solve(row[None]).first[0])

    def solve(self, rows: Floats) -> Screened:
        """Answer stands given as rows (k, d).

        A stand that can move without resistance answers with nan.
        """
        return Screened.joined([self._some(rows[a : a + CHUNK]) for a in range(0, len(rows), CHUNK)])

    def _some(self, rows: Floats) -> Screened:
        shape, count, n = self._shape, len(rows), self._topology.n_nodes
        part = shape.split(rows)
        nodes = part["nodes"].reshape(count, n, 3)
        section = part["section"].reshape(count, -1, 9)
        natural, length, offsets = self._natural(part, nodes)
        k = _stiffness(section, length, shape)
        terms = (natural.transpose(0, 1, 3, 2) @ (k[..., None] * natural)).reshape(count, -1)[:, self._take]
        flat: Floats = np.bincount(self._put[: terms.size], terms.ravel(), count * self._band).astype(float, copy=False)
        bands = flat.reshape(count, self._band)
        bands[:, self._held] += self._springs
        heavy = self._element_mass(part, section, length)
        loads = self._loads(part, nodes, heavy, offsets)
        columns = loads.shape[1]
        masses = self._masses(part, heavy, offsets) if self._start is not None else None
        if masses is not None:
            assert self._start is not None
            loads = np.concatenate([loads, _times(masses, np.repeat(self._start[None], count, 0))], 1)
        half = self._topology.half_band
        factors = []
        for band, right in zip(bands, loads, strict=True):
            factor, fault = dpbtrf(band.reshape(self._size, half + 1).T, lower=0, overwrite_ab=1)
            if fault:
                right[:] = np.nan
            else:
                dpbtrs(factor, right.T, lower=0, overwrite_b=1)
            factors.append(factor)
        first = np.full(count, np.nan)
        if masses is not None:
            first = self._first(masses, loads[:, columns:], factors)
        moved = np.empty((count, columns, n, 6))
        moved[:, :, self._nodes] = loads[:, :columns].reshape(count, columns, n, 6)
        return self._answers(part, nodes, section, natural, k, moved, first)

    def _natural(self, part: dict[str, Floats], nodes: Floats) -> tuple[Floats, Floats, Floats]:
        """Rows of the six natural modes by end freedoms (k, m, 6, 12), lengths (k, m), offsets (k, m, 2, 3)."""
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
        return out, length, offsets

    def _element_mass(self, part: dict[str, Floats], section: Floats, length: Floats) -> Floats:
        """Mass of each element, (k, m) t: a member weighs what its steel weighs, spread over its elements."""
        member, area = self._shape.member, section[:, :, 0]
        per_mm = part["density"] * area
        own = member >= 0
        per_mm[:, own] = TONNE * area[:, own] * (part["volume"] / part["reach"])[:, member[own]]
        return np.asarray(per_mm * length)

    def _loads(self, part: dict[str, Floats], nodes: Floats, heavy: Floats, offsets: Floats) -> Floats:
        """Columns of loads in the banded order, (k, c, 6 n): weight, pushes, cut, setting down, units, bed couple."""
        brief, shape, count = self._brief, self._shape, len(nodes)
        n = self._topology.n_nodes
        out = np.zeros((count, _LOADS + 3 + bool(shape.bed), n, 6))
        half = 0.5 * STANDARD_GRAVITY * heavy
        for end in (0, 1):
            for axis, value in ((2, -half), (3, -half * offsets[:, :, end, 1]), (4, half * offsets[:, :, end, 0])):
                _scatter(out[:, 0, :, axis], shape.elements[:, end], value)
        arm = part["mass_offset"].reshape(count, -1, 3)
        lump = STANDARD_GRAVITY * part["mass"]
        for axis, value in ((2, -lump), (3, -lump * arm[..., 1]), (4, lump * arm[..., 0])):
            _scatter(out[:, 0, :, axis], shape.mass_nodes, value)
        push, cut = brief.limits.push, brief.machine.cutting_force / math.sqrt(2)
        work = part["work_offset"]
        forces = ((1, np.array([push, 0.0, 0.0])), (2, np.array([0.0, push, 0.0])), (3, np.array([0.0, cut, -cut])))
        ring = nodes[:, shape.ring]
        for column, force in forces:
            if shape.heart >= 0:
                out[:, column, shape.heart, :3] = force
                out[:, column, shape.heart, 3:] = cross(work, force)
            elif column < 3:
                share = force / len(shape.ring)
                lever = np.zeros_like(ring)
                lever[..., 2] = work[:, 2:3] - ring[..., 2]
                out[:, column, shape.ring, :3] = share
                out[:, column, shape.ring, 3:] = cross(lever, share)
        if shape.heart >= 0:
            out[:, 3, shape.heart, 3] += 1000 * brief.machine.cutting_torque
            pounds = brief.machine.mass * KILOGRAM_FORCE
            out[:, 4, shape.heart, 2] = pounds
            out[:, 4, shape.heart, 3:] = -cross(arm[:, -1], np.array([0.0, 0.0, -pounds]))
            out[:, 4, shape.mounts[0], 2] -= brief.limits.impact * pounds
        out[:, _LOADS, shape.ring, 0] = out[:, _LOADS + 1, shape.ring, 1] = UNIT_FORCE / len(shape.ring)
        if len(shape.ring) == 1:
            out[:, _LOADS + 2, shape.ring, 5] = UNIT_TORQUE
        else:
            arms, spread = _arms(ring)
            out[:, _LOADS + 2, shape.ring, 0] = -UNIT_TORQUE * arms[..., 1] / spread
            out[:, _LOADS + 2, shape.ring, 1] = UNIT_TORQUE * arms[..., 0] / spread
        if shape.bed:
            out[:, -1, shape.bed[1], 3], out[:, -1, shape.bed[0], 3] = 1.0, -1.0
        return np.ascontiguousarray(out[:, :, self._nodes].reshape(count, out.shape[1], -1))

    def _masses(self, part: dict[str, Floats], heavy: Floats, offsets: Floats) -> Floats:
        """Lumped mass by node in the banded order, (k, n, 6, 6): half of each element at its ends, and the lumps."""
        count, shape, n = len(heavy), self._shape, self._topology.n_nodes
        out = np.zeros((count, n, 36))
        places = [(shape.elements[:, 0], offsets[:, :, 0], heavy / 2), (shape.elements[:, 1], offsets[:, :, 1], heavy / 2)]
        places.append((shape.mass_nodes, part["mass_offset"].reshape(count, -1, 3), part["mass"]))
        at = np.concatenate([p[0] for p in places])
        arm, mass = np.concatenate([p[1] for p in places], 1), np.concatenate([p[2] for p in places], 1)
        s = skew(arm)
        block = np.zeros((*mass.shape, 6, 6))
        block[..., :3, :3] = np.eye(3)
        block[..., :3, 3:] = -s
        block[..., 3:, :3] = s
        block[..., 3:, 3:] = s.swapaxes(-1, -2) @ s
        block *= mass[..., None, None]
        order = np.argsort(at, kind="stable")
        first = np.flatnonzero(np.r_[True, np.diff(at[order]) > 0])
        out[:, at[order][first]] = np.add.reduceat(block.reshape(count, -1, 36)[:, order], first, axis=1)
        return out[:, self._nodes].reshape(count, n, 6, 6)

    def _first(self, masses: Floats, found: Floats, factors: list[Floats]) -> Floats:
        """One more inverse iteration, then the first frequency of the space it spans, (k,) Hz."""
        again = _times(masses, found)
        right = again.copy()
        for factor, r in zip(factors, right, strict=True):
            dpbtrs(factor, r.T, lower=0, overwrite_b=1)
        stiff = right @ again.transpose(0, 2, 1)
        mass = right @ _times(masses, right).transpose(0, 2, 1)
        good = np.isfinite(stiff).all((1, 2))
        out = np.full(len(stiff), np.nan)
        turn = np.linalg.inv(np.linalg.cholesky(stiff[good]))
        mu = np.linalg.eigvalsh(turn @ mass[good] @ turn.transpose(0, 2, 1))[:, -1]
        out[good] = self._true / (2 * np.pi * np.sqrt(mu))
        return out

    def _answers(
        self, part: dict[str, Floats], nodes: Floats, section: Floats, natural: Floats, k: Floats, moved: Floats, first: Floats
    ) -> Screened:  # fmt: skip
        brief, shape, count = self._brief, self._shape, len(nodes)
        at = moved[:, _LOADS : _LOADS + 3, shape.ring]
        if len(shape.ring) == 1:
            turn = at[:, 2, 0, 5]
        else:
            arms, spread = _arms(nodes[:, shape.ring])
            turn = (arms[..., 0] * at[:, 2, :, 1] - arms[..., 1] * at[:, 2, :, 0]).sum(1) / spread[:, 0]
        ends = moved[:, :, shape.elements].reshape(count, moved.shape[1], -1, 12)
        share = np.full(count, np.nan)
        if shape.bed:
            jacks = shape.jacks
            pressed = k[:, jacks, 0] * (natural[:, jacks, 0] * ends[:, -1, jacks]).sum(-1)
            share = (pressed / part["rigid"]).min(1)
        own = np.flatnonzero(shape.member >= 0)
        forces = k[:, own, :, None] * (natural[:, own] @ ends[:, :_LOADS, own].transpose(0, 2, 3, 1))
        cases = np.abs(forces @ _CASES.T)  # (k, m, 6, cases)
        s = section[:, own, :, None]
        sigma = (
            cases[:, :, 0] / s[:, :, 0] + (cases[:, :, 4] + cases[:, :, 5]) / s[:, :, 6]
            + (cases[:, :, 2] + cases[:, :, 3]) / s[:, :, 7]
        )  # fmt: skip
        mises = np.sqrt(sigma**2 + 3 * (cases[:, :, 1] / s[:, :, 8]) ** 2).max((1, 2))
        sag = -moved[:, 0, shape.mounts, 2].min(1) if len(shape.mounts) else np.zeros(count)
        area = part["plates"].reshape(count, -1, 2).prod(-1)
        # Every number but the section's own belongs to elements; a member's area is that of its first element.
        whole = np.unique(shape.member[own], return_index=True)[1]
        mass = (part["volume"] * section[:, own[whole], 0]).sum(1) + part["rest"].sum(1)
        return Screened(
            sway_x=UNIT_FORCE / at[:, 0, :, 0].mean(1), sway_y=UNIT_FORCE / at[:, 1, :, 1].mean(1),
            twist=UNIT_TORQUE / turn, bed=share, first=first, sag=sag,
            use=brief.limits.yield_margin * mises / find_steel(brief.steel.grade).fy, mass=mass,
            plates=area @ shape.plate_kg * brief.steel.sheet_price_kg, welds=2 * part["perimeter"].sum(1),
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


def _times(masses: Floats, vectors: Floats) -> Floats:
    """Mass (k, n, 6, 6) times vectors (k, p, 6 n)."""
    count, p, size = vectors.shape
    v = vectors.reshape(count, p, size // 6, 6).transpose(0, 2, 3, 1)
    return np.ascontiguousarray((masses @ v).transpose(0, 3, 1, 2).reshape(count, p, size))

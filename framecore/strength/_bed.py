"""The machine's bed on the stand: how far it is twisted, and how much of a jack turn reaches it.

One right-hand side tells nearly all: a unit couple that twists the bed end against end. By Maxwell and Betti
its movement at any jack or foot is the bed's twist for a millimetre there.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from framecore.catalogue import profile as find_profile
from framecore.catalogue import profiles, summary
from framecore.catalogue.model import Shape
from framecore.fem import Assembled
from framecore.frame.model import Frame, Role
from framecore.strength.model import ModelMap

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]
PER_METRE = 1000.0  # rad -> mm/m
_RAILS = frozenset({Role.TOP_RAIL, Role.BEARER, Role.BEAM})
_ALIKE = 1e-9  # element matrices that differ by less than this share are the same but for rounding
_ROW_APART = 1.0  # mounts nearer than this in y make no couple, mm


@dataclass(frozen=True, slots=True, kw_only=True)
class OtherRails:
    """The same stand with rails of the other kind, open for closed, of like mass.

    ``profile``, ``other`` what they are and would be; ``j``, ``j_other`` torsion constants, mm4; ``mass`` and
    ``mass_other`` kg/m; ``share`` of a jack turn that would reach the bed.
    """

    profile: str
    other: str
    j: float
    j_other: float
    mass: float
    mass_other: float
    share: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class BedShare:
    """The bed between its end pairs of feet. m mounts, f feet, c cases.

    Attributes
    ----------
    length : between the two end rows of mounts, mm; ``row`` of the mount that ``worst`` names, mm front to back
    gj : G J of the bed, N mm2
    twist : (c,) one end rolled against the other in each case, rad; positive: right end, top towards the front
    per_jack : (m,) twist for 1 mm of that mount's jack, rad/mm; ``rigid`` (m,) on a stand that gives nothing
    worst : the mount with the least share; ``share`` = per_jack / rigid there
    bed_stiffness, stand_stiffness : N mm/rad, so that share = stand / (stand + bed); the first is the bed with
        its feet, arms and screws; the second is infinite where the stand gives nothing
    per_foot : (f,) twist for 1 mm under that foot, rad/mm
    other : the same with rails of the other kind, None where the rails are neither tube nor angle
    """

    length: float
    row: float
    gj: float
    twist: Floats
    per_jack: Floats
    rigid: Floats
    worst: int
    share: float
    bed_stiffness: float
    stand_stiffness: float
    per_foot: Floats
    other: OtherRails | None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class BedProbe:
    """What is asked of the frame besides its cases: ``loads`` (n, 6, 1 + r): the couple, then each rail's torsion.

    ``ends`` nodes of the bed; ``machine`` element rows of the machine, ``bed`` of its bed, ``mounts`` of its
    screws; ``rows`` (m,) how wide each mount's row is front to back, mm; ``rails`` element rows of the r rails,
    ``kept`` (r,) the share of its torsion constant that each would keep as the other kind.
    """

    ends: tuple[int, int]
    machine: Ints
    bed: Ints
    mounts: Ints
    rows: Floats
    rails: Ints
    kept: Floats
    loads: Floats


def bed_probe(built: Assembled, frame: Frame, where: ModelMap) -> BedProbe | None:
    """Return what to ask for a machine on at least two rows of two mounts, None for any other."""
    parts = where.element_part
    machine = np.array([k for k, p in enumerate(parts) if p in ("mount", "bed", "arm")], np.intp)
    mounts = np.array([k for k in machine if parts[k] == "mount"], np.intp)
    bed = np.array([k for k in machine if parts[k] == "bed"], np.intp)
    rows = _rows(np.array([m.point for m in frame.mounts])) if len(mounts) >= 4 and len(bed) else None
    if rows is None:
        return None
    model = built.model
    ends = int(model.elements[bed[0], 0]), int(model.elements[bed[-1], 1])
    kept_of = {k: _kept(m.profile.id) for k, m in enumerate(frame.members) if m.role in _RAILS}
    of = where.element_member.tolist()
    rails = np.array([k for k, m in enumerate(of) if kept_of.get(m, 0.0) > 0.0], np.intp)
    loads = np.zeros((model.n_nodes, 6, 1 + len(rails)))
    loads[ends[1], 3, 0], loads[ends[0], 3, 0] = 1.0, -1.0
    twisted = (built.transform[rails, 9] - built.transform[rails, 3]).reshape(-1, 2, 6)
    at = 1 + np.arange(len(rails))
    for end in (0, 1):
        loads[model.elements[rails, end], :, at] += twisted[:, end]
    return BedProbe(
        ends=ends, machine=machine, bed=bed, mounts=mounts, rows=rows, rails=rails,
        kept=np.array([kept_of[of[k]] for k in rails]), loads=loads,
    )  # fmt: skip


def _rows(points: Floats) -> Floats | None:
    """(m,): how wide the row of each mount is front to back; None unless both end rows have two mounts apart."""
    x = np.round(points[:, 0], 3)
    wide = np.array([np.ptp(points[x == v, 1]) for v in x])
    ends = wide[(x == x.min()) | (x == x.max())]
    return wide if x.min() < x.max() and (ends > _ROW_APART).all() else None


def bed_share(
    built: Assembled, frame: Frame, probe: BedProbe, asked: Floats, displacements: Floats, before: RigidSeat | None = None
) -> tuple[BedShare, RigidSeat]:
    """Read the bed's answers; the second value may be handed to the next call as ``before``.

    Parameters
    ----------
    asked : (n, 6, 1 + r) displacements under ``probe.loads``
    displacements : (n, 6, c) of the load cases
    """
    model = built.model
    first, last = probe.ends
    k = model.per_element("e") * model.per_element("area") / model.length
    push = built.transform[probe.mounts, 6] - built.transform[probe.mounts, 0]  # what one jack's extension moves
    ends = model.elements[probe.mounts]
    k_jack = k[probe.mounts]
    per_jack = k_jack * (push * asked[ends, :, 0].reshape(-1, 12)).sum(1)
    seat = _on_rigid(built, probe, push, k_jack, before)
    rigid, press = seat.twist, seat.press
    feet = model.spring_nodes
    share = per_jack / rigid
    outer = np.flatnonzero(_outer(frame))
    worst = int(outer[np.round(share[outer], 6).argmin()])  # of alike ones the first
    s, width = float(share[worst]), float(probe.rows[worst])
    bed = float(press[worst]) * width**2
    gj = model.per_element("g")[probe.bed[0]] * model.per_element("j")[probe.bed[0]]
    found = BedShare(
        length=float(model.nodes[last, 0] - model.nodes[first, 0]), row=width, gj=float(gj),
        twist=displacements[last, 3] - displacements[first, 3], per_jack=per_jack, rigid=rigid, worst=worst, share=s,
        bed_stiffness=bed, stand_stiffness=bed * s / (1 - s) if s < 1 else float("inf"),
        per_foot=model.stiffness[:, 2] * asked[feet, 2, 0],
        other=_other(built, frame, probe, asked, k_jack[worst] / rigid[worst] * push[worst], ends[worst]),
    )  # fmt: skip
    return found, seat


def _outer(frame: Frame) -> NDArray[np.bool_]:
    x = np.array([m.point[0] for m in frame.mounts])
    return np.asarray((np.abs(x - x.min()) < _ROW_APART) | (np.abs(x - x.max()) < _ROW_APART))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class RigidSeat:
    """The machine on mounts held fast: ``twist`` (m,) for 1 mm of each jack, rad/mm, ``press`` (m,) its force, N/mm.

    ``terms``, ``pairs``: what it was worked out for; a machine that only stands higher keeps its answers.
    """

    terms: Floats
    pairs: Ints
    twist: Floats
    press: Floats


def _on_rigid(built: Assembled, probe: BedProbe, push: Floats, k_jack: Floats, before: RigidSeat | None) -> RigidSeat:
    model, rows = built.model, probe.machine
    terms = built.transform[rows].transpose(0, 2, 1) @ built.local[rows]
    pairs = model.elements[rows]
    if (
        before is not None and np.array_equal(pairs, before.pairs)
        and float(np.abs(terms - before.terms).max()) <= _ALIKE * float(np.abs(terms).max())
    ):  # fmt: skip
        return before
    nodes, at = np.unique(model.elements[rows], return_inverse=True)
    at = at.reshape(-1, 2)
    place = np.zeros(model.n_nodes, np.intp)
    place[nodes] = np.arange(len(nodes))
    size, m = 6 * len(nodes), len(push)
    right = np.zeros((len(nodes), 6, 1 + m))
    right[place[list(probe.ends)], 3, 0] = -1.0, 1.0
    jacks = place[model.elements[probe.mounts]]
    right[jacks[:, 0], :, 1 + np.arange(m)] = k_jack[:, None] * push[:, :6]
    right[jacks[:, 1], :, 1 + np.arange(m)] = k_jack[:, None] * push[:, 6:]
    dof = (at[:, :, None] * 6 + np.arange(6)).reshape(len(rows), 12)
    where = (dof[:, :, None] * size + dof[:, None, :]).ravel()
    matrix = np.bincount(where, terms.ravel(), size * size).reshape(size, size)
    free = np.ones(size, bool)
    free[(jacks[:, :1] * 6 + np.arange(6)).ravel()] = False  # the mounts are held fast
    scale = np.where(free, 1.0, 0.0) / np.sqrt(matrix.diagonal())
    scaled = matrix * scale[:, None] * scale
    scaled[~free, ~free] = 1.0
    flat = right.reshape(size, -1) * scale[:, None]
    moved = np.linalg.solve(scaled, flat) * scale[:, None]
    ends = moved.reshape(len(nodes), 6, -1)[jacks].reshape(m, 12, -1)
    given = (push[:, :, None] * ends).sum(1)  # (m, 1 + m)
    return RigidSeat(
        terms=terms, pairs=pairs, twist=k_jack * given[:, 0],
        press=k_jack * (1.0 - given[np.arange(m), 1 + np.arange(m)]),
    )  # fmt: skip


def _other(
    built: Assembled, frame: Frame, probe: BedProbe, asked: Floats, reading: Floats, ends: Ints
) -> OtherRails | None:
    """Take the rails' torsion away down to the other kind's, exactly, by the answers already there.

    ``reading`` (12,) turns the movements of the ``ends`` of the worst jack into its share.

    Source: Sherman, Morrison, Woodbury: an element's torsion is a stiffness of rank one.
    """
    if not len(probe.rails):
        return None
    model, rails = built.model, probe.rails
    stiff = model.per_element("g")[rails] * model.per_element("j")[rails] / model.length[rails]
    loss = stiff * (1.0 - probe.kept)
    flat = asked.reshape(-1, asked.shape[2])
    pattern = probe.loads.reshape(-1, asked.shape[2])[:, 1:]
    turns = pattern.T @ flat  # (r, 1 + r): each rail's twist under the couple and under each rail's own
    gain = np.linalg.solve(np.diag(1.0 / loss) - turns[:, 1:], turns[:, 0])
    at = asked[ends].reshape(12, -1)
    share = float(reading @ (at[:, 0] + at[:, 1:] @ gain))
    rail = next(m.profile for m in frame.members if m.role in _RAILS and _kept(m.profile.id) > 0)
    other = find_profile(like_of_other_kind(rail.id))
    return OtherRails(
        profile=rail.id, other=other.id, j=rail.properties.j, j_other=other.properties.j,
        mass=rail.kg_per_m, mass_other=other.kg_per_m, share=share,
    )  # fmt: skip


@lru_cache(maxsize=256)
def like_of_other_kind(profile_id: str) -> str:
    """Return the equal angle nearest in mass to a tube, the square tube nearest to an angle, else ""."""
    profile = find_profile(profile_id)
    shape = Shape.EQUAL_ANGLE if profile.closed else Shape.SQUARE_TUBE if profile.is_angle else None
    if shape is None:
        return ""
    others = [summary(p) for p in profiles(shape, profile.system)]
    # Of several alike in mass the one with sides nearest to those of the profile is the fair comparison.
    side = max(profile.height, profile.width)
    return min(
        others,
        key=lambda o: (round(abs(o.kg_per_m / profile.kg_per_m - 1), 1), abs(max(o.height, o.width) - side)),
    ).id


@lru_cache(maxsize=256)
def _kept(profile_id: str) -> float:
    """Return the torsion constant of the other kind over the profile's own, 0 where there is no other kind."""
    other = like_of_other_kind(profile_id)
    return find_profile(other).properties.j / find_profile(profile_id).properties.j if other else 0.0

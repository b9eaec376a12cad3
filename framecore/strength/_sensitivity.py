"""What would move the modes: a thicker profile, a higher ring, a brace. Asked for on demand.

No changed frame is solved. Its matrices are built, and their difference to the present ones is put between the
present modes: the slope is phi' (dK - w^2 dM) phi, the step a small eigenproblem in the modes and in how the present
frame gives under the change.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray
from scipy.linalg import eigh, orth
from scipy.sparse import csr_array

from framecore.brief.model import Brief
from framecore.catalogue import profile as find_profile
from framecore.catalogue import profiles, summary
from framecore.catalogue import steel as find_steel
from framecore.errors import FramecoreError, Severity
from framecore.fem import Assembled, FrameModel, assemble, element
from framecore.frame import build_frame
from framecore.frame.model import Bay, Frame, Role
from framecore.solids import SolidsBuilder
from framecore.strength._model import build_model
from framecore.strength.model import Strength
from framecore.units import format_round, round_step

Floats = NDArray[np.float64]
RING_STEP, LEG_STEP, STUD_STEP = 100.0, -50.0, -10.0
_ROUNDS = 3  # of answers to the change; with three a ring raised from 220 to 320 mm is right to 0.5 %
_SMALL = 1e-3  # share of a step over which the slope is taken
# Keys of the profiles by role, and how they are named in a sentence.
_ROLES = {
    Role.LEG: ("legs", "the legs"),
    Role.TOP_RAIL: ("top_rails", "the top rails"),
    Role.LOWER_RAIL: ("lower_rails", "the lower rails"),
    Role.BEARER: ("bearers", "the bearers"),
    Role.STRETCHER: ("stretchers", "the stretchers"),
    Role.BEAM: ("beam", "the box beam"),
    Role.COLUMN: ("column", "the column"),
    Role.BASE: ("base", "the base cross"),
    Role.BRACE: ("braces", "the braces"),
}


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Sensitivity:
    """What one change does to the k modes.

    Attributes
    ----------
    change : how the sentence begins, "Raising the lower ring by 100 mm"
    kind : "measure", "section", "brace"
    key : dotted path of the brief, or the bay of a brace
    step : of the key, mm; 1 for a section or a brace
    slope : (k,) Hz for one unit of ``step`` as the change begins: for a section as its stiffness and mass grow by their
        own amount, for a brace as it grows from nothing to the whole bar
    before, after : (k,) Hz; a mode keeps its place by its shape
    """

    change: str
    kind: str
    key: str
    step: float
    slope: Floats
    before: Floats
    after: Floats

    def sentence(self, mode: int, name: str) -> str:
        """Say what it does to one mode, "Raising the lower ring by 100 mm moves sway 1 from 13.2 to 14.1 Hz"."""
        return f"{self.change} moves {name} from {self.before[mode]:.1f} to {self.after[mode]:.1f} Hz"


def ranked(found: tuple[Sensitivity, ...], mode: int) -> tuple[Sensitivity, ...]:
    """Return the changes in the order of what they do to a mode, most first."""
    return tuple(sorted(found, key=lambda s: -abs(s.after[mode] - s.before[mode])))


def sensitivities(brief: Brief, frame: Frame, strength: Strength) -> tuple[Sensitivity, ...]:
    """Return what every change within reach would do to the modes, in the order of the brief.

    Costs about as much as two evaluations for each measure; a change that cannot be built is left out.
    """
    present = Present.of(strength)
    shop = _Changed(brief, frame, present)
    return (*_measures(brief, frame, shop), *_sections(brief, frame, strength, shop), *_bars(brief, frame, present))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Present:
    """The frame as it is: factored, with its modes in the banded order (N, k)."""

    built: Assembled
    hz: Floats
    shapes: Floats

    @classmethod
    def of(cls, strength: Strength) -> Present:
        """Factor the model again, without the feet that hang in the air."""
        built = assemble(strength.model)
        lifted = strength.foot_open[:, 0]
        if lifted.any() and not strength.tips[0]:
            built = built.released(lifted)
        return cls(built=built, hz=strength.modes_hz, shapes=built.topology.inward(strength.mode_shapes))

    def slope(self, stiffer: csr_array, heavier: csr_array) -> Floats:
        """Return df/dp (k,) in Hz of changes dK/dp and dM/dp: phi' (dK - w^2 dM) phi / (8 pi^2 f)."""
        w2 = (2 * np.pi * self.hz) ** 2
        k = np.einsum("nk,nk->k", self.shapes, stiffer @ self.shapes)
        m = np.einsum("nk,nk->k", self.shapes, heavier @ self.shapes)
        return np.asarray((k - w2 * m) / (8 * np.pi**2 * self.hz))

    def after(self, stiffer: csr_array, heavier: csr_array) -> Floats:
        """Return the frequencies (k,) after a change of K and M, each in its place by shape.

        Source: Rayleigh and Ritz, in the modes and K^-1 times what the change does to them; Fox and Kapoor,
        AIAA J. 6 (1968), for the slope, from memory.
        """
        built = self.built
        extra = np.hstack([stiffer @ self.shapes, heavier @ self.shapes])
        extra /= np.maximum(np.linalg.norm(extra, axis=0), 1e-300)
        parts = [self.shapes]
        for _ in range(_ROUNDS):
            extra = built.solve_banded(np.asfortranarray(extra))
            extra /= np.maximum(np.linalg.norm(extra, axis=0), 1e-300)
            parts.append(extra)
            extra = stiffer @ extra
        basis = orth(np.hstack([p / np.linalg.norm(p, axis=0).clip(1e-300) for p in parts]), rcond=1e-8)
        k_new, m_new = built.stiffness() + stiffer, built.mass + heavier
        values, vectors = eigh(basis.T @ (k_new @ basis), basis.T @ (m_new @ basis))
        shape = basis @ vectors
        alike = np.abs(self.shapes.T @ (m_new @ shape))  # (k, b)
        out = np.empty(len(self.hz))
        free = np.ones(alike.shape[1], bool)
        for mode in range(len(out)):
            best = int(np.where(free, alike[mode], -1.0).argmax())
            free[best] = False
            out[mode] = np.sqrt(max(values[best], 0.0)) / (2 * np.pi)
        return out


class _Changed:
    """Builds the matrices of changed briefs; keeps the shapes' index work."""

    def __init__(self, brief: Brief, frame: Frame, present: Present) -> None:
        self.frame, self.present = frame, present
        self._density = find_steel(brief.steel.grade).density
        self._solids = SolidsBuilder()

    def difference(self, brief: Brief, seat: float) -> tuple[csr_array, csr_array] | None:
        """Return dK and dM to the present frame, None where it cannot be built or its parts are other ones."""
        present = self.present.built
        try:
            frame = build_frame(brief, seat)
            if any(f.severity is Severity.STOP for f in frame.findings):
                return None
            solids = self._solids.build(frame, self._density)
            masses = dict(zip(solids.layout.parts, solids.masses.tolist(), strict=True))
            model = build_model(brief, frame, masses).model
        except FramecoreError:
            return None
        if model.n_nodes != present.model.n_nodes or not np.array_equal(model.elements, present.model.elements):
            return None
        # Feet that hang in the air stay there.
        model = replace(model, spring_stiffness=np.where(present.model.stiffness > 0, model.stiffness, 0.0))
        built = assemble(model, present.topology)
        return built.stiffness() - present.stiffness(), built.mass - present.mass

    def measure(self, change: str, key: str, step: float, brief: Brief, seat: tuple[float, float]) -> Sensitivity | None:
        """Try a measure; ``brief`` has it as a float at ``key``, ``seat`` the height and how it goes with the step."""

        def by(share: float) -> tuple[csr_array, csr_array] | None:
            section, name = key.split(".")
            part = getattr(brief, section)
            moved = replace(part, **{name: getattr(part, name) + share * step})
            return self.difference(replace(brief, **{section: moved}), seat[0] + share * step * seat[1])

        up, down, whole = by(_SMALL), by(-_SMALL), by(1.0)
        if up is None or down is None or whole is None:
            return None
        width = 2 * _SMALL * step
        p = self.present
        return Sensitivity(
            change=change, kind="measure", key=key, step=step, before=p.hz, after=p.after(*whole),
            slope=p.slope((up[0] - down[0]) / width, (up[1] - down[1]) / width),
        )  # fmt: skip


def _measures(brief: Brief, frame: Frame, shop: _Changed) -> Iterator[Sensitivity]:
    fixed = replace(brief, frame=replace(brief.frame, height=frame.seat))
    ring, leg, stud = (round_step(step, brief.units) for step in (RING_STEP, LEG_STEP, STUD_STEP))
    tries = [
        (f"Shortening the legs by {format_round(-leg, brief.units)}", "frame.height", leg, (frame.seat, 1.0)),
        (f"Standing {format_round(-stud, brief.units)} lower on the foot studs", "feet.height", stud, (frame.seat, 0.0)),
    ]
    if brief.frame.lower_ring > 0:
        said = f"Raising the lower ring by {format_round(ring, brief.units)}"
        tries.insert(0, (said, "frame.lower_ring", ring, (frame.seat, 0.0)))
    for change, key, step, seat in tries:
        found = shop.measure(change, key, step, fixed, seat)
        if found is not None:
            yield found


def _sections(brief: Brief, frame: Frame, strength: Strength, shop: _Changed) -> Iterator[Sensitivity]:
    """Every role's next thicker profile of the same outside."""
    p = shop.present
    turn, model = p.built.transform, p.built.model
    stiff = turn.transpose(0, 2, 1) @ p.built.local
    heavy = turn.transpose(0, 2, 1) @ (element.mass(model) @ turn)
    roles = [m.role for m in frame.members]
    of = strength.map.element_member
    for role, (key, words) in _ROLES.items():
        mine = np.isin(of, [k for k, r in enumerate(roles) if r is role])
        now = getattr(brief.frame.sections, key)
        more = _thicker(now)
        if not mine.any() or not more:
            continue
        sections = replace(brief.frame.sections, **{key: more})
        whole = shop.difference(replace(brief, frame=replace(brief.frame, sections=sections)), frame.seat)
        if whole is None:
            continue
        on = mine[:, None, None]
        sparse = p.built.topology.sparse
        yield Sensitivity(
            change=f"Making {words} {more} instead of {find_profile(now).id}", kind="section", key=f"frame.sections.{key}",
            step=1.0, before=p.hz, after=p.after(*whole), slope=p.slope(sparse(stiff * on), sparse(heavy * on)),
        )  # fmt: skip


@lru_cache(maxsize=256)
def _thicker(name: str) -> str:
    """Return the next thicker profile with the same outside, "" if none is listed."""
    now = summary(name)
    more = [
        s for s in map(summary, profiles(now.shape, now.system))
        if (s.height, s.width, s.standard) == (now.height, now.width, now.standard) and s.wall > now.wall
    ]  # fmt: skip
    return min(more, key=lambda s: s.wall).id if more else ""


def _bars(brief: Brief, frame: Frame, present: Present) -> Iterator[Sensitivity]:
    """Yield a diagonal in every open bay."""
    points = {j.name: j.point for j in frame.joints}
    for bay in frame.bays:
        if getattr(brief.braces, bay.side, "none") != "none" or not (bay.joints[0] and bay.joints[2]):
            continue
        low, high = (
            int(((present.built.model.nodes - points[name]) ** 2).sum(1).argmin()) for name in (bay.joints[0], bay.joints[2])
        )
        change = bar_between(present.built, low, high, brief.frame.sections.braces, find_steel(brief.steel.grade).density)
        yield Sensitivity(
            change=f"A diagonal of {find_profile(brief.frame.sections.braces).id} in the {_where(bay)}", kind="brace",
            key=bay.name, step=1.0, before=present.hz, after=present.after(*change), slope=present.slope(*change),
        )  # fmt: skip


def _where(bay: Bay) -> str:
    return {"left": "left end", "right": "right end"}.get(bay.name, bay.name)


def bar_between(built: Assembled, i: int, j: int, profile: str, density: float) -> tuple[csr_array, csr_array]:
    """Return dK and dM of a straight bar welded in between two nodes; ``density`` kg/m3."""
    model, s = built.model, find_profile(profile).properties
    ends = model.nodes[[i, j]]
    x = (ends[1] - ends[0]) / np.linalg.norm(ends[1] - ends[0])
    y = np.cross((0.0, 0.0, 1.0) if abs(x[2]) < 0.99 else (1.0, 0.0, 0.0), x)
    y /= np.linalg.norm(y)
    bar = FrameModel(
        nodes=ends, elements=np.array([(0, 1)]), axes=np.array([(x, y, np.cross(x, y))]), area=s.area, i_y=s.iyy, i_z=s.izz,
        j=s.j, shear_y=s.shear_y, shear_z=s.shear_z, e=float(model.per_element("e")[0]), g=float(model.per_element("g")[0]),
        density=density * 1e-12,
    )  # fmt: skip
    turn = element.transform(bar)[0]
    at = (built.topology.position[[i, j]][:, None] * 6 + np.arange(6)).ravel()
    where = (np.repeat(at, 12), np.tile(at, 12))
    size = 6 * model.n_nodes

    def placed(local: Floats) -> csr_array:
        return csr_array(((turn.T @ local[0] @ turn).ravel(), where), shape=(size, size))

    return placed(element.stiffness(bar)), placed(element.mass(bar))

"""Welds: every branch of every joint as a group of lines, its stress at every corner in every case at once.

The branch's end forces are taken where its centroid line meets the joint's node, inside the run: the moments are
somewhat larger there than at the run's face, the safe side.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from framecore.brief.model import Brief
from framecore.catalogue import steel_of
from framecore.catalogue.model import Profile, Steel
from framecore.errors import Finding, Severity
from framecore.fem.model import skew
from framecore.frame.model import Frame, Joint, Member
from framecore.strength import _aisc360
from framecore.strength._model import StandModel
from framecore.strength._section import principal
from framecore.strength.checked import WeldCheck, WeldChecks
from framecore.strength.model import Case
from framecore.units import format_weld

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]
# Lines of weld: (k, 2, 3) ends in the branch's axes x, u, v from its end on the centroid line, mm, and (k,) throats.
Lines = tuple[Floats, Floats]
GAMMA_M2 = 1.25
OMEGA_WELD, OMEGA_RUPTURE, OMEGA_YIELD, OMEGA = 2.0, 2.0, 1.5, 1.67
ALL_ROUND, GROOVES, ALONG = "fillet all round", "fillets and flare-bevel grooves", "fillets along the angle"
LAPPED = "fillets along both sides"
_NEAR_SIZE = 0.3  # mm; a size this near the code's is the inch size it stands for: 3/16 in and 5 mm
_DIRECTIONS = 16  # the outermost point each way of as many directions, and of their opposites
_SIDE = 0.999  # a flat wall faces a direction above this cosine; rounded corners keep the fillet


@dataclass(frozen=True, kw_only=True, eq=False)
class WeldPlan:
    """All welds of a frame; w welds of at most p points.

    ``first``, ``second``: element and end (w, 2) whose end forces meet the weld, the second counted ``twice``
    (w, 1, 1) 0 or 1; ``stress`` (w, 3 p, 6): from those forces to the three parts of the stress on the throat;
    ``shares`` (w, p) throat over the branch's wall; ``weights`` (w, p, 1) from stress to utilisation; ``limit`` and ``base`` of
    ``weld_limit``, MPa.
    """

    joints: tuple[str, ...]
    members: tuple[str, ...]
    kinds: tuple[str, ...]
    first: Ints
    second: Ints
    twice: Floats
    stress: Floats
    shares: Floats
    weights: Floats
    limit: float
    base: float
    lengths: tuple[float, ...]
    areas: tuple[float, ...]
    throats: tuple[float, ...]
    walls: tuple[float, ...]

    @cached_property
    def length_at(self) -> dict[str, float]:
        """Length of weld of each joint, mm."""
        out: dict[str, float] = {}
        for joint, length in zip(self.joints, self.lengths, strict=True):
            out[joint] = out.get(joint, 0.0) + length
        return out


def group_stress(lines: Lines, normal: int, shear_centre: tuple[float, float] = (0.0, 0.0)) -> Floats:
    """Return (2 k, 3, 6): forces N, Vu, Vv, T, Mu, Mv at the branch's end to stress at the ends of the lines.

    Parameters
    ----------
    lines : in a plane whose normal is the branch's axis ``normal`` (0 x, 1 u, 2 v)
    shear_centre : u, v of the point that Vu, Vv and T act at

    Notes
    -----
    Elastic weld group: force over the throats' area, bending and torsion about their centroid by the second
    moments of the lines.

    Source: statics; Blodgett, Design of Welded Structures 7.4 (lines), from memory.
    """
    ends, throat = lines
    order = [normal, (normal + 1) % 3, (normal + 2) % 3]
    q = ends[:, :, order]
    run = q[:, 1] - q[:, 0]
    size = np.linalg.norm(run, axis=1)
    weight = throat * size
    area = weight.sum()
    middle = q.mean(1)
    centre = (weight[:, None] * middle).sum(0) / area
    d = middle - centre
    i_a = float((weight * (d[:, 2] ** 2 + run[:, 2] ** 2 / 12)).sum())
    i_b = float((weight * (d[:, 1] ** 2 + run[:, 1] ** 2 / 12)).sum())
    i_ab = float((weight * (d[:, 1] * d[:, 2] + run[:, 1] * run[:, 2] / 12)).sum())
    polar, both = i_a + i_b, i_a * i_b - i_ab**2
    force, moment = np.eye(6)[:3], np.eye(6)[3:].copy()
    y, z = shear_centre
    moment[0, 2] += y  # Vv and Vu act at the shear centre: their moment about the centroid line
    moment[0, 1] -= z
    force, moment = force[order], moment[order]
    moment = moment - skew(centre) @ force
    a, b = (q - centre).reshape(-1, 3)[:, 1:, None].transpose(1, 0, 2)
    m_n, m_a, m_b = moment[:, None]
    out = np.empty((len(a), 3, 6))
    out[:, 0] = force[0] / area + ((m_a * i_b + m_b * i_ab) * b - (m_b * i_a + m_a * i_ab) * a) / both
    out[:, 1] = force[1] / area - m_n * b / polar
    out[:, 2] = force[2] / area + m_n * a / polar
    return out


def outline_lines(profile: Profile, throat: float, side: Floats | None = None, groove: float = 0.0) -> Lines:
    """Return the weld all round a profile's outline.

    ``side``: unit u, v of the walls that are groove welded with the throat ``groove``, None where none is.
    """
    points = np.asarray(profile.outline_fine[0]) @ principal(profile.id).turn.T
    ends = np.stack([points, np.roll(points, -1, axis=0)], axis=1)
    run = ends[:, 1] - ends[:, 0]
    size = np.linalg.norm(run, axis=1)
    ends, run, size = ends[size > 1e-9], run[size > 1e-9], size[size > 1e-9]
    throats = np.full(len(size), throat)
    if side is not None:
        facing = np.abs(run[:, 1] * side[0] - run[:, 0] * side[1]) / size
        throats[facing > _SIDE] = groove
    return np.concatenate([np.zeros((len(ends), 2, 1)), ends], axis=2), throats


def rectangle_lines(at: Floats, along: int, length: float, apart: int, gap: float, throat: float) -> Lines:
    """Two lines of ``length`` along axis ``along``, ``gap`` apart on axis ``apart``, middle at ``at``."""
    ends = np.tile(at, (2, 2, 1))
    for k, s in enumerate((-0.5, 0.5)):
        ends[k, :, apart] += s * gap
        ends[k, 0, along] -= length / 2
        ends[k, 1, along] += length / 2
    return ends, np.full(2, throat)


# Joints of one member that is welded to a plate.
ON_PLATE = ("column on base", "head on column")


def plan_welds(brief: Brief, frame: Frame, stand: StandModel) -> WeldPlan:
    """Find every weld with its lines and the element ends that load it."""
    elements, where = stand.model.elements, stand.map.element_member
    numbers = {m.name: k for k, m in enumerate(frame.members)}
    nodes: dict[str, int] = {}
    for joint in frame.joints:  # the model numbers the joints first, in this order
        nodes.setdefault(joint.name, len(nodes))
    touching: dict[tuple[int, int], list[tuple[int, int]]] = {}
    for e in np.flatnonzero(where >= 0).tolist():
        for end in (0, 1):
            touching.setdefault((int(where[e]), int(elements[e, end])), []).append((e, end))
    rows = []
    for joint in frame.joints:
        for run, name in _pairs(joint):
            ends = touching.get((numbers[name], nodes[joint.name]), [])
            if not ends:
                continue
            branch = frame.members[numbers[name]]
            axes = stand.model.axes[ends[0][0]]
            kind, normal, lines = _lines(brief, joint, branch, frame.members[numbers[run]], axes)
            rows.append((joint.name, branch, run, kind, ends, normal, lines))
    limit, base = _weakest(brief, frame)
    stress = np.zeros((len(rows), 2 * _DIRECTIONS, 3, 6))
    shares = np.zeros((len(rows), 2 * _DIRECTIONS))
    walls = []
    for k, (_, branch, run, _, _, normal, lines) in enumerate(rows):
        keep = _outermost(lines, normal)
        stress[k, : len(keep)] = group_stress(lines, normal, principal(branch.profile.id).shear_centre)[keep]
        shares[k, : len(keep)] = np.repeat(lines[1], 2)[keep] / branch.profile.wall_design
        walls.append(min(branch.profile.wall, frame.members[numbers[run]].profile.wall))
    sizes = [float((np.linalg.norm(r[6][0][:, 1] - r[6][0][:, 0], axis=1)).sum()) for r in rows]
    return WeldPlan(
        joints=tuple(r[0] for r in rows), members=tuple(r[1].name for r in rows), kinds=tuple(r[3] for r in rows),
        first=np.array([r[4][0] for r in rows], np.intp).reshape(-1, 2),
        second=np.array([r[4][-1] for r in rows], np.intp).reshape(-1, 2),
        twice=np.array([float(len(r[4]) > 1) for r in rows])[:, None, None],
        stress=stress.transpose(0, 2, 1, 3).reshape(len(rows), -1, 6),
        shares=shares, weights=np.maximum(1 / limit, shares / base)[:, :, None], limit=limit, base=base,
        lengths=tuple(sizes),
        areas=tuple(float((np.linalg.norm(r[6][0][:, 1] - r[6][0][:, 0], axis=1) * r[6][1]).sum()) for r in rows),
        throats=tuple(float(r[6][1].min()) for r in rows), walls=tuple(walls),
    )  # fmt: skip


def _outermost(lines: Lines, normal: int) -> list[int]:
    """Rows of ``group_stress`` that can be worst: stress grows linearly outwards, so it peaks on the outside."""
    flat = np.delete(lines[0].reshape(-1, 3), normal, axis=1)
    angle = (np.arange(_DIRECTIONS) + 0.25) * math.pi / _DIRECTIONS
    reach = flat @ np.array([np.cos(angle), np.sin(angle)])
    return sorted({*reach.argmax(0).tolist(), *reach.argmin(0).tolist()})


def _pairs(joint: Joint) -> Iterator[tuple[str, str]]:
    """Run and branch of every weld: all members after the first stand on it, a leg stands under its ring.

    A column that stands on a plate, or carries one, is welded to it all round.
    """
    run, *branches = joint.members
    if joint.kind in ON_PLATE and not branches:
        yield run, run
    for name in branches:
        yield run, name
    if joint.kind == "ring corner on leg":
        yield branches[0], run


def _lines(brief: Brief, joint: Joint, branch: Member, run: Member, axes: Floats) -> tuple[str, int, Lines]:
    """Kind, normal axis and lines of one weld in the branch's axes."""
    throat = brief.welding.leg / math.sqrt(2)
    box = _extent(branch.profile)
    if run.profile.is_angle and not branch.profile.is_angle:
        return (ALONG, *_along_angle(branch, run, axes, throat, box))
    offset = axes @ (np.array(joint.point) - np.array(branch.start.point))
    for k in (1, 2):
        # The run's centre lies beyond the branch's own face: the branch lies on it.
        if abs(offset[k]) > 0.51 * box[k] and abs(np.dot(axes[0], run.x_axis)) < 0.5:
            other = 3 - k
            at = np.zeros(3)
            at[k] = math.copysign(box[k] / 2, offset[k])
            wide = min(run.profile.width, run.profile.height)
            return LAPPED, k, rectangle_lines(at, 0, wide, other, box[other], throat)
    grooves = [f.throat for f in joint.fit_ups if f.kind == "equal width"]
    if grooves:
        across = np.cross(axes[0], run.x_axis)
        side = axes[1:] @ (across / max(float(np.linalg.norm(across)), 1e-9))
        return GROOVES, 0, outline_lines(branch.profile, throat, side, min(grooves))
    return ALL_ROUND, 0, outline_lines(branch.profile, throat)


def _extent(profile: Profile) -> tuple[float, float, float]:
    """Size of the outline along x (none), u and v."""
    points = np.asarray(profile.outline[0]) @ principal(profile.id).turn.T
    u, v = np.ptp(points, axis=0).tolist()
    return 0.0, u, v


def _along_angle(
    branch: Member, run: Member, axes: Floats, throat: float, box: tuple[float, float, float]
) -> tuple[int, Lines]:
    """Weld a rail into an angle: both its long edges over the angle's leg, and the leg's toe over its height."""
    # The angle's upright line, its legs run along y and z of the angle.
    up = int(np.abs(axes @ np.array(run.x_axis)).argmax())
    face = 3 - up if up else 2
    leg_along = np.array([np.dot(axes[0], run.y_axis), np.dot(axes[0], run.z_axis)])
    k = int(np.abs(leg_along).argmax())
    width = (run.profile.width, run.profile.height)[k]
    # The other leg stands at the rail's end; the face that touches is on the heel's side of the rail.
    heel = -np.array((run.z_axis, run.y_axis)[k])
    at = np.zeros(3)
    at[face] = math.copysign(box[face] / 2, float(axes[face] @ heel))
    # The angle's centroid line lies in the middle of the node: its leg reaches from the heel over it.
    c = run.profile.box_centre[k]
    toward = math.copysign(1.0, leg_along[k])
    at[0] = toward * c
    two, throats = rectangle_lines(at, 0, width, up, box[up], throat)
    toe = np.tile(at, (1, 2, 1))
    toe[0, :, 0] += toward * width / 2
    toe[0, 0, up] -= box[up] / 2
    toe[0, 1, up] += box[up] / 2
    return face, (np.concatenate([two, toe]), np.append(throats, throat))


def _weakest(brief: Brief, frame: Frame) -> tuple[float, float]:
    """Return the limits of ``weld_limit`` in the weakest grade that is welded: tube and angle may come in two."""
    forms = {m.profile.closed for m in frame.members} | {False}  # the pads are plate
    limits = [weld_limit(brief, steel_of(brief.steel.grade, tube=tube)) for tube in forms]
    return min(limit for limit, _ in limits), min(base for _, base in limits)


def weld_limit(brief: Brief, steel: Steel) -> tuple[float, float]:
    """What the throat bears, and what the branch's wall bears in shear (inf by EN), MPa, against loads x margin.

    Source: EN 1993-1-8 4.5.3.3, f_vw,d = fu / (sqrt 3 beta_w gamma_M2), the simplified method; AISC 360-16
    J2.4, 0.60 F_EXX with Omega 2.00, and J4.2, 0.60 Fy with 1.50, 0.60 Fu with 2.00 (from memory).
    """
    if brief.limits.code == _aisc360.CODE:
        base = min(0.6 * steel.fy * OMEGA / OMEGA_YIELD, 0.6 * steel.fu * OMEGA / OMEGA_RUPTURE)
        return 0.6 * brief.welding.filler_fu * OMEGA / OMEGA_WELD, base
    return fillet_strength(min(steel.fu, brief.welding.filler_fu), steel.fy), math.inf


def fillet_strength(fu: float, fy: float) -> float:
    """f_vw,d of EN 1993-1-8 (4.4), MPa; beta_w by the yield strength as table 4.1 has it for S235 to S420."""
    beta = 0.8 if fy <= 235 else 0.85 if fy <= 275 else 0.9 if fy <= 355 else 1.0
    return fu / (math.sqrt(3) * beta * GAMMA_M2)


def check_welds(plan: WeldPlan, cases: tuple[Case, ...], forces: Floats, margin: float) -> WeldChecks:
    """Check every weld in every case; ``forces`` (m, 12, c) service, N and N mm."""
    if not plan.joints:
        return WeldChecks((), _no_weld)
    ends = forces.reshape(len(forces), 2, 6, -1)
    f = ends[plan.first[:, 0], plan.first[:, 1]]
    f = f + plan.twice * ends[plan.second[:, 0], plan.second[:, 1]]
    w, p = plan.shares.shape
    stress = (plan.stress @ f).reshape(w, 3, p, -1)
    stress *= stress
    size = np.sqrt(stress[:, 0] + stress[:, 1] + stress[:, 2]) * margin  # (w, p, c)
    use = (size * plan.weights).max(1) * np.array([c.checked for c in cases])
    case = use.argmax(1)
    pick = np.arange(w)
    worst = size[pick, :, case]
    stresses, base = worst.max(1), (worst * plan.shares).max(1) / plan.base
    uses, parts = use[pick, case], f[pick, :, case]

    def one(k: int) -> WeldCheck:
        return WeldCheck(
            joint=plan.joints[k], member=plan.members[k], kind=plan.kinds[k], case=cases[case[k]].id, length=plan.lengths[k],
            throat=plan.throats[k], area=plan.areas[k], wall=plan.walls[k], stress=float(stresses[k]), limit=plan.limit,
            base_use=float(base[k]), use=float(uses[k]), forces=tuple(parts[k].tolist()),
        )  # fmt: skip

    return WeldChecks(uses.tolist(), one)


def _no_weld(k: int) -> WeldCheck:
    raise IndexError(k)


def least_leg(code: str, wall: float) -> tuple[float, str]:
    """Least fillet leg for the thinner part joined, mm, and its clause.

    Source: AISC 360-16 table J2.4; EN 1993-1-8 4.5.2(2), throat 3 mm, for parts of 4 mm and more (4.1(1)); in
    thinner tube the weld is sized by the wall (7.3.1). From memory.
    """
    if code == _aisc360.CODE:
        # the rows end at 6, 13 and 19 mm, or 1/4, 1/2 and 3/4 in
        leg = 3.0 if wall <= 6.35 else 5.0 if wall <= 13 else 6.0 if wall <= 19.05 else 8.0
        return leg, "AISC 360-16 table J2.4"
    return (3.0 * math.sqrt(2) if wall >= 4 else 0.0), "EN 1993-1-8 4.5.2(2): throat of at least 3 mm"


def laid_leg(brief: Brief, wall: float) -> float:
    """Return the fillet leg to lay on parts of which the thinner is ``wall`` mm, mm.

    The brief's, no larger than the wall; where the code's least leg is more, that one, in whole halves of a millimetre
    or sixteenths of an inch.
    """
    leg, least = min(brief.welding.leg, wall), least_leg(brief.limits.code, wall)[0]
    if brief.limits.code == _aisc360.CODE:
        least = min(least, wall)  # J2.4: it need not exceed the thinner part
    if leg > least - 0.05:
        return leg
    step, near = (0.5, 0.05) if brief.units == "metric" else (25.4 / 16, _NEAR_SIZE)
    return step * math.ceil((least - near) / step)


def weld_findings(plan: WeldPlan, brief: Brief) -> tuple[Finding, ...]:
    """Say where the brief's fillet is too small or larger than the wall bears; each rule once, at its worst joint."""
    if not plan.joints:
        return ()
    out = []
    leg, code = brief.welding.leg, brief.limits.code

    def said(mm: float) -> str:
        return format_weld(mm, brief.units)

    needed = [least_leg(code, t)[0] for t in plan.walls]
    k = int(np.argmax(needed))
    if leg < needed[k] - 0.05:
        out.append(
            Finding(
                code="welds.leg_small", severity=Severity.LOOK, field="welding.leg", member=plan.members[k],
                message=(
                    f"A {said(leg)} fillet at {plan.joints[k]} is under the least leg of {said(needed[k])} for a "
                    f"{said(plan.walls[k])} wall ({least_leg(code, plan.walls[k])[1]}); the weld map has "
                    f"{said(laid_leg(brief, plan.walls[k]))} there."
                ),
                allowed=f"at least {said(needed[k])}", nearest=said(laid_leg(brief, plan.walls[k])),
            )
        )  # fmt: skip
    k = int(np.argmin(plan.walls))
    most = plan.walls[k] if plan.walls[k] < 6 else plan.walls[k] - 2
    # What one rule asks for at least, the other does not forbid.
    most = max(most, math.ceil(least_leg(code, plan.walls[k])[0] * 2) / 2)
    if leg > most + 0.25:
        out.append(
            Finding(
                code="welds.leg_large", severity=Severity.LOOK, field="welding.leg", member=plan.members[k],
                message=(
                    f"A {said(leg)} fillet at {plan.joints[k]} is larger than its {said(plan.walls[k])} wall allows "
                    f"({said(most)}, as AISC 360-16 J2.2b has it along an edge): it overheats and pulls the "
                    f"tube; weld it smaller."
                ),
                allowed=f"at most {said(most)}", nearest=said(most),
            )
        )  # fmt: skip
    return tuple(out)

"""Checks by code of everything at once; index work is kept while the frame's topology stays.

The loads of the cases are service loads. One factor, ``limits.yield_margin``, is on all of them, for both
codes: by AISC 360-16 it is Omega of allowable strength (1.67), by EN 1993-1-1 it stands for gamma_F with
gamma_M0 = gamma_M1 = 1.0 (1.67 is over the 1.35 and 1.5 of EN 1990).
"""

from __future__ import annotations

from dataclasses import dataclass
from types import ModuleType

import numpy as np
from numpy.typing import NDArray

from framecore.brief.model import Brief
from framecore.catalogue import steel_of
from framecore.errors import Finding
from framecore.frame.model import Frame
from framecore.strength import _aisc360, _en1993
from framecore.strength._bolts import check_bolts, check_pads
from framecore.strength._model import StandModel
from framecore.strength._welds import WeldPlan, check_welds, plan_welds, weld_findings
from framecore.strength.checked import CodeChecks, MemberCode
from framecore.strength.model import Case

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]
KINDS = ("section", "shear", "span")
CLAUSES = {
    _en1993.CODE: ("6.2.1(7)", "6.2.6 and 6.2.7", "6.3.3 (6.61), (6.62)"),
    _aisc360.CODE: ("H3-6", "G and H3.1", "H1-1"),
}
# Second-order effects may be left out above this factor: EN 1993-1-1 5.2.1(3).
FIRST_ORDER = 10.0
_EQUAL = 1e-9  # where buckling takes nothing off, the section says the same and is the plainer answer
_FREE_END = 2.0  # effective length factor of an end that nothing holds


@dataclass(frozen=True, slots=True, eq=False)
class _Plan:
    key: tuple[object, ...]
    elements: Ints
    own: Ints  # elements of members
    member: Ints  # member of each of them
    span_first: Ints  # first row of ``own`` of each span
    span_of: Ints
    factor: Floats  # effective length factor of each span
    member_first: Ints  # first row of ``own`` of each member
    first_span: Ints  # first span of each member
    member_last: Ints
    last_span: Ints
    ends: _en1993.Table | _aisc360.Table  # wide by two axes
    spans: _en1993.Table | _aisc360.Table
    spans_wide: _en1993.Table | _aisc360.Table
    span_member: Ints
    welds: WeldPlan
    findings: tuple[Finding, ...]
    studs: list[int]  # elements of the feet's studs, and of the mounts
    mounts: list[int]


def code_module(code: str) -> ModuleType:
    """Return the module of a code of the brief."""
    return _aisc360 if code == _aisc360.CODE else _en1993


class Checker:
    """Checks stands one after another."""

    def __init__(self) -> None:
        self._plan: _Plan | None = None

    def check(
        self, brief: Brief, frame: Frame, stand: StandModel, cases: tuple[Case, ...], forces: Floats, foot_loads: Floats,
        sway: float,
    ) -> CodeChecks:  # fmt: skip
        """Check members, welds, pads and bolts.

        Parameters
        ----------
        forces : (m, 12, c) end forces on all elements under the service loads, N and N mm
        foot_loads : (feet, c) N
        sway : a lower bound of the frame's elastic buckling factor under them
        """
        plan = self._planned(brief, frame, stand)
        margin = brief.limits.yield_margin
        amplify = amplification(sway / margin)
        members = _members(plan, brief, frame, stand, cases, forces, margin, amplify)
        welds = check_welds(plan.welds, cases, forces, margin)
        pads = check_pads(brief, frame, cases, forces[plan.studs], foot_loads, margin)
        bolts = check_bolts(brief, frame, cases, forces[plan.mounts], margin)
        worst = max(members, key=lambda m: m.use)
        joint = welds.worst
        return CodeChecks(
            code=brief.limits.code, margin=margin, amplification=amplify, members=members, welds=welds, pads=pads,
            bolts=bolts, worst_member=worst.member, worst_joint=joint.joint if joint else "",
            worst_case=joint.case if joint and joint.use > worst.use else worst.case, weld_length=plan.welds.length_at,
            findings=plan.findings, assumptions=ASSUMPTIONS,
        )  # fmt: skip

    def _planned(self, brief: Brief, frame: Frame, stand: StandModel) -> _Plan:
        key = (
            frame.topology, brief.steel.grade, brief.limits.code, brief.welding, tuple(m.profile.id for m in frame.members)
        )  # fmt: skip
        plan = self._plan
        elements = stand.model.elements
        if plan is None or plan.key != key or not np.array_equal(plan.elements, elements):
            self._plan = plan = _make_plan(key, brief, frame, stand)
        return plan


ASSUMPTIONS = (
    "members buckle between the joints that hold them, effective length factor 1; sway is in the amplified moments",
    "a span's largest moment is taken along its whole length",
    "the face of a tube that a branch lands on is not checked for local yielding",
    "foot studs are taken as class 4.6, in inches as SAE grade 1",
)


def amplification(factor: float) -> float:
    """Factor on first-order moments for sway, 1 / (1 - 1 / alpha_cr) where alpha_cr is under 10.

    Source: EN 1993-1-1 5.2.2(5); AISC 360-16 appendix 8, B2, is the same with its Omega in alpha. Below
    alpha_cr = 3 EN wants a second-order analysis; the formula goes on, and is held at alpha_cr = 1.05.
    """
    return 1.0 if factor >= FIRST_ORDER else 1.0 / (1.0 - 1.0 / max(factor, 1.05))


def _make_plan(key: tuple[object, ...], brief: Brief, frame: Frame, stand: StandModel) -> _Plan:
    model, where = stand.model, stand.map
    own = np.flatnonzero(where.element_member >= 0)
    member = where.element_member[own].astype(np.intp)
    i, j = model.elements[own].T
    starts = np.r_[True, np.diff(member) != 0]
    # A machine foot on a bearer loads it but does not hold it sideways: the span goes on through it.
    first = np.flatnonzero(starts | ~np.isin(i, where.mount_nodes))
    span_of = np.cumsum(np.isin(np.arange(len(own)), first)) - 1
    last = np.r_[first[1:], len(own)] - 1
    touching = np.bincount(model.elements.ravel(), minlength=model.n_nodes)
    touching[where.foot_nodes] += 1
    free = (touching[i[first]] == 1) | (touching[j[last]] == 1)
    profiles = tuple(m.profile.id for m in frame.members)
    steels = [steel_of(brief.steel.grade, tube=m.profile.closed) for m in frame.members]
    table = code_module(brief.limits.code).table(profiles, steels)
    spans = table.at(member[first])
    member_first = np.flatnonzero(starts)
    welds = plan_welds(brief, frame, stand)
    row = {name: e for e, name in enumerate(where.element_part)}
    return _Plan(
        key=key, elements=model.elements, own=own, member=member, span_first=first, span_of=span_of,
        factor=np.where(free, _FREE_END, 1.0), member_first=member_first, first_span=span_of[member_first],
        member_last=np.r_[member_first[1:], len(own)] - 1, last_span=np.r_[span_of[member_first][1:], len(first)] - 1,
        ends=table.at(member).wide(2), spans=spans, spans_wide=spans.wide(1),
        span_member=member[first], welds=welds, findings=weld_findings(welds, brief),
        studs=[row[f.name] for f in frame.feet],
        mounts=[e for e, name in enumerate(where.element_part) if name == "mount"],
    )  # fmt: skip


def _members(
    plan: _Plan, brief: Brief, frame: Frame, stand: StandModel, cases: tuple[Case, ...], forces: Floats, margin: float,
    amplify: float,
) -> tuple[MemberCode, ...]:  # fmt: skip
    code = code_module(brief.limits.code)
    f = forces[plan.own].reshape(len(plan.own), 2, 6, -1) * margin
    f[:, 0] *= -1.0  # what acts on end 1 is the other way round inside the member
    f[:, :, 4:] *= amplify
    n, v_u, v_v, torque, m_u, m_v = np.moveaxis(f, 2, 0)
    stations = stand.map.stations[plan.own]
    length = np.add.reduceat(stations[:, 1] - stations[:, 0], plan.span_first) * plan.factor
    strong = code.span(plan.spans, length)
    most_u = np.maximum.reduceat(np.abs(m_u).max(1), plan.span_first)
    most_v = np.maximum.reduceat(np.abs(m_v).max(1), plan.span_first)
    press = np.maximum.reduceat(-n.min(1), plan.span_first)
    press = np.maximum(press, 0.0) if code is _en1993 else press
    wide = type(strong)(*(getattr(strong, k)[:, None] for k in strong.__slots__))
    span = code.span_use(plan.spans_wide, wide, press, most_u, most_v)
    normal, shear = code.section_use(plan.ends, strong.at(plan.span_of), n, v_u, v_v, torque, m_u, m_v)
    checked = np.array([c.checked for c in cases])
    use = np.stack([
        np.maximum.reduceat(normal.max(1), plan.member_first), np.maximum.reduceat(shear.max(1), plan.member_first),
        np.maximum.reduceat(span, plan.first_span) - _EQUAL,
    ], axis=1) * checked  # (members, kinds, cases)  # fmt: skip
    spot = use.reshape(len(use), -1).argmax(1)
    kinds, columns = np.unravel_index(spot, use.shape[1:])
    # Where each member's worst case has its worst end, or span.
    rows = np.arange(len(plan.own))
    at_case = columns[plan.member]
    there = np.where((kinds == 1)[plan.member][:, None], shear[rows, :, at_case], normal[rows, :, at_case])
    end = there.argmax(1)
    e = _last_of_each(there[rows, end], plan.member, plan.member_last)
    k = _last_of_each(span[np.arange(len(span)), columns[plan.span_member]], plan.span_member, plan.last_span)
    whole = kinds == 2
    none = np.zeros(len(kinds))
    of_span = np.array([press[k, columns], none, none, none, most_u[k, columns], most_v[k, columns]])
    values = np.where(whole, of_span, f[e, end[e], :, columns].T)
    at = np.maximum(np.where(whole, stations[plan.span_first[k], 0], stations[e, end[e]]), 0.0)
    clauses, ids = CLAUSES[brief.limits.code], [c.id for c in cases]
    table = zip(
        frame.members, kinds.tolist(), columns.tolist(), at.tolist(),
        length[np.where(whole, k, plan.span_of[e])].tolist(), use.reshape(len(use), -1)[np.arange(len(use)), spot].tolist(),
        values.T.tolist(), strict=True,
    )  # fmt: skip
    return tuple(
        MemberCode(
            member=part.name, profile=part.profile.id, kind=KINDS[kind], clause=clauses[kind], case=ids[c], at=t,
            length=size, use=u, n=v[0], v_u=v[1], v_v=v[2], torque=v[3], m_u=v[4], m_v=v[5],
        )
        for part, kind, c, t, size, u, v in table
    )  # fmt: skip


def _last_of_each(values: Floats, group: Ints, last: Ints) -> Ints:
    """Row of the largest value of each group; groups stand together and end at the rows ``last``."""
    rows: Ints = np.lexsort((values, group))[last]
    return rows

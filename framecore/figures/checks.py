"""Figures of the checks by code: members, welds, pads, studs, bolts, buckling."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from framecore.catalogue import profile as find_profile
from framecore.catalogue import steel_of
from framecore.catalogue import thread as find_thread
from framecore.catalogue.bolts import class_source, class_words, shear_share, stud_class, tensile, yield_stress
from framecore.catalogue.model import Steel
from framecore.figures._judge import at_least, at_most, computed, given, origin
from framecore.figures.model import Answers, Figure, Input, Working
from framecore.strength import code_module
from framecore.strength.checked import BoltCheck, CodeChecks, MemberCode, PadCheck, WeldCheck

CAUTION = (
    "A check of the model's forces, no certificate: the machine's manual, local codes and a licensed engineer come first "
    "where people can be hurt."
)
_EDITIONS = {"EN 1993-1-1": "EN 1993-1-1:2005", "AISC 360-16": "AISC 360-16"}
_CLASSES = {
    "EN 1993-1-1": {
        1: "class 1, plastic moduli", 2: "class 2, plastic moduli", 3: "class 3, elastic moduli",
        4: "class 4, effective area of EN 1993-1-5: its walls buckle before they yield",
    },
    "AISC 360-16": {
        1: "compact walls", 2: "noncompact walls", 3: "slender walls, effective widths of E7: they buckle before they yield",
    },
}  # fmt: skip


def figures(answers: Answers) -> Iterator[Figure]:
    """Yield the worst member, weld, pad, stud and bolt, the worst of each kind of member, and the buckling factor."""
    checks = answers.strength.checks
    worst = max(checks.members, key=lambda m: m.use)
    yield _member(answers, "members.utilisation", "Worst member", worst, full=True)
    roles: dict[str, MemberCode] = {}
    for member, check in zip(answers.frame.members, checks.members, strict=True):
        best = roles.get(member.role.value)
        if best is None or check.use > best.use:
            roles[member.role.value] = check
    for role, check in roles.items():
        name = "members.worst." + role.replace(" ", "_")
        yield _member(answers, name, f"Worst {role}", check, full=False)
    if checks.welds.worst is not None:
        yield _weld(answers, checks.welds.worst)
    if checks.pads:
        yield from _pads(answers)
    held = {m.name for m in answers.frame.mounts if m.hole}
    bolts = [b for b in checks.bolts if b.mount in held]  # what rests on the stand by its weight has none
    if bolts:
        yield _bolt(answers, max(bolts, key=lambda b: b.use))
    yield from _buckling(answers)


def _factor(answers: Answers) -> Input:
    return given(answers.brief, "limits.yield_margin", "γ", "factor on the service loads")


def _assumed(answers: Answers, *paths: str) -> tuple[str, ...]:
    return tuple(p for p in paths if p in answers.brief.assumed)


def _member(answers: Answers, name: str, label: str, m: MemberCode, *, full: bool) -> Figure:
    return Figure(
        id=name, label=label, value=m.use, unit="1", group="strength", limit=1.0, limit_kind="max",
        verdict=at_most(m.use, 1.0), note=f"{m.member}, {m.case}", parts=(m.member,),
        assumed=_assumed(answers, "limits.yield_margin", "limits.code", "steel.grade"),
        work=lambda: _member_working(answers, m, full=full),
    )  # fmt: skip


def _member_working(answers: Answers, m: MemberCode, *, full: bool) -> Working:
    checks = answers.strength.checks
    steel = steel_of(answers.brief.steel.grade, tube=find_profile(m.profile).closed)
    inputs, more = _strengths(checks, m, steel) if full else ((), ())
    return Working(
        formula=_formula(checks, m),
        inputs=(
            _factor(answers),
            Input(symbol="fy" if checks.code.startswith("EN") else "Fy", label=f"yield strength of {steel.id}",
                  value=steel.fy, unit="MPa", origin="table", source=steel.source),
            computed("L_cr", "buckling length", m.length, "mm", "distance between the joints that hold it"),
            *inputs,
        ),
        steps=(
            *_forces(m), *more, f"η = {m.use:.3f}, {m.member} ({m.profile}), {m.at:.0f} mm from its start, case {m.case}"
        ),
        source=f"{_EDITIONS[checks.code]} {m.clause} (from memory)", note=CAUTION,
    )  # fmt: skip


def _formula(checks: CodeChecks, m: MemberCode) -> str:
    if checks.code.startswith("EN"):
        return {
            "section": "η = (N_Ed / N_Rd + M_u,Ed / M_u,Rd + M_v,Ed / M_v,Rd) / (1 - ρ)",
            "shear": "η = max(V_Ed / V_pl,T,Rd, T_Ed / T_Rd)",
            "span": "η = N_Ed / (χ N_Rk) + k_u M_u,Ed / (χ_LT M_u,Rk) + k_v M_v,Ed / M_v,Rk, the larger of (6.61) and (6.62)",
        }[m.kind]
    return {
        "section": "η = Pr/Pc + Mr/Mc + (Vr/Vc + Tr/Tc)²",
        "shear": "η = max(Vr/Vc, Tr/Tc)",
        "span": "η = Pr/Pc + 8/9 (Mru/Mcu + Mrv/Mcv) from Pr/Pc = 0.2 on, Pr/2Pc + Mru/Mcu + Mrv/Mcv below",
    }[m.kind]


def _forces(m: MemberCode) -> tuple[str, ...]:
    if m.kind == "span":
        return (
            f"with γ: N = {max(m.n, 0.0):.0f} N pressing, largest M_u = {m.m_u / 1e3:.1f} N m, M_v = {m.m_v / 1e3:.1f} N m "
            "of the span",
        )
    return (
        f"with γ: N = {m.n:.0f} N, M_u = {abs(m.m_u) / 1e3:.1f} N m, M_v = {abs(m.m_v) / 1e3:.1f} N m, "
        f"V_u = {abs(m.v_u):.0f} N, V_v = {abs(m.v_v):.0f} N, T = {abs(m.torque) / 1e3:.1f} N m",
    )


def _strengths(checks: CodeChecks, m: MemberCode, steel: Steel) -> tuple[tuple[Input, ...], tuple[str, ...]]:
    """What the worst member bears, each with its share."""
    code = code_module(checks.code)
    t = code.table((m.profile,), steel)
    span = code.span(t, np.array([m.length]))
    en = checks.code.startswith("EN")
    bears = float((t.n_k if m.n < 0 or m.kind == "span" else t.area_fy)[0] if en else (span.n if m.n < 0 else t.area * t.fy)[0])
    steps = [_CLASSES[checks.code][int(t.klass[0])]]
    if checks.amplification > 1:
        steps.append(f"moments x {checks.amplification:.3f} for second-order sway")
    if m.kind == "shear":
        twist = float((t.t_rd if en else t.t_n)[0])
        inputs = (
            computed("V_u,Rd" if en else "Vcu", "shear strength along u", float(t.v_u[0]), "N"),
            computed("V_v,Rd" if en else "Vcv", "shear strength along v", float(t.v_v[0]), "N"),
            computed("T_Rd" if en else "Tc", "torsional strength", twist / 1e3, "N m"),
        )
        return inputs, tuple(steps)
    lateral = float(span.chi_lt[0] * t.m_u[0]) if en else float(span.m_u[0])
    if m.kind == "span":
        if en:
            n_u, n_v = float(span.chi_u[0]) * bears, float(span.chi_v[0]) * bears
            steps += [
                f"λ_u = {float(span.lam_u[0]):.3f}, χ_u = {float(span.chi_u[0]):.3f}; λ_v = {float(span.lam_v[0]):.3f}, "
                f"χ_v = {float(span.chi_v[0]):.3f}; χ_LT = {float(span.chi_lt[0]):.3f}",
                f"N_Ed / N_b,Rd = {m.n:.0f} / {min(n_u, n_v):.0f} = {m.n / min(n_u, n_v):.3f}",
            ]
        else:
            pc = float(span.n[0]) if m.n > 0 else float(t.area[0] * t.fy[0])
            steps.append(f"Pr / Pc = {abs(m.n):.0f} / {pc:.0f} = {abs(m.n) / pc:.3f}")
        m_u = lateral
    else:
        steps.append(f"{'N / N_Rd' if en else 'Pr / Pc'} = {abs(m.n):.0f} / {bears:.0f} = {abs(m.n) / bears:.3f}")
        m_u = float(t.m_u[0]) if en else lateral
    m_v = float(t.m_v[0] if en else span.m_v[0])
    share = "M_{0} / M_{0},Rd" if en else "Mr{0} / Mc{0}"
    steps += [
        f"{share.format('u')} = {abs(m.m_u) / 1e3:.1f} / {m_u / 1e3:.1f} = {abs(m.m_u) / m_u:.3f}",
        f"{share.format('v')} = {abs(m.m_v) / 1e3:.1f} / {m_v / 1e3:.1f} = {abs(m.m_v) / m_v:.3f}",
    ]
    return (), tuple(steps)


def _weld(answers: Answers, w: WeldCheck) -> Figure:
    brief, checks = answers.brief, answers.strength.checks
    en = checks.code.startswith("EN")
    bears = "f_vw,d = fu / (√3 β_w γ_M2)" if en else "0.60 F_EXX 1.67 / 2.00"
    shown = dict(zip(("N", "Vu", "Vv", "T", "Mu", "Mv"), w.forces, strict=True))
    steps = [
        "forces of " + w.member + ": "
        + ", ".join(f"{k} = {v:.0f} N" if k in ("N", "Vu", "Vv") else f"{k} = {v / 1e3:.1f} N m" for k, v in shown.items()),
        f"{w.kind}: {w.length:.0f} mm of weld, throats sum to {w.area:.0f} mm2",
        f"σ = {w.stress:.1f} MPa on the throat with γ, against {w.limit:.1f} MPa",
    ]
    if w.base_use:
        steps.append(f"the branch's wall beside it, AISC 360-16 J4.2: {w.base_use:.3f}")
    return Figure(
        id="welds.utilisation", label="Worst weld", value=w.use, unit="1", group="strength", limit=1.0, limit_kind="max",
        verdict=at_most(w.use, 1.0), note=f"{w.joint}, {w.member}, {w.case}", parts=(w.member,),
        assumed=_assumed(answers, "limits.yield_margin", "welding.leg", "welding.filler_fu"),
        work=lambda: Working(
            formula=f"η = σ / ({bears}), σ = √(σ_n² + τ_1² + τ_2²) of the weld as a group of lines",
            inputs=(
                _factor(answers), given(brief, "welding.leg", "z", "fillet leg"),
                computed("a", "thinnest throat", w.throat, "mm", "z / √2, or the groove's"),
                given(brief, "welding.filler_fu", "F_EXX" if not en else "fu", "filler's tensile strength"),
            ),
            steps=(*steps, f"η = {w.use:.3f}"),
            source=("EN 1993-1-8:2005 4.5.3.3, β_w of table 4.1, γ_M2 1.25" if en else "AISC 360-16 J2.4 and J4.2")
            + "; weld groups as in Blodgett (from memory)",
            note=CAUTION,
        ),
    )  # fmt: skip


def _pads(answers: Answers) -> Iterator[Figure]:
    brief, pads = answers.brief, answers.strength.checks.pads
    steel = steel_of(brief.steel.grade, tube=False)
    p: PadCheck = max(pads, key=lambda q: max(q.bending_use, q.thread_use))
    use = max(p.bending_use, p.thread_use)
    yield Figure(
        id="pads.utilisation", label="Worst pad", value=use, unit="1", group="strength", limit=1.0, limit_kind="max",
        verdict=at_most(use, 1.0), note=f"{p.pad}, {p.case}", parts=(p.pad,),
        work=lambda: Working(
            formula="σ = γ M / (b t² / 6), τ = γ R / A_s, A_s = π (m / p) d (p / 2 + (d - d2) / √3)",
            inputs=(
                _factor(answers), computed("R", f"press on {p.foot}", p.load, "N"),
                computed("e", "from the stud to the leg's wall", p.lever, "mm"),
                computed("b", "width of pad", p.width, "mm"),
                computed("t", "thickness of pad, thread in it", p.thickness, "mm"),
            ),
            steps=(
                "a strip of the pad from the stud to the nearer walls of the leg; half of R on each wall of a tube, "
                "all of it on an angle's leg",
                f"σ = {p.bending:.1f} MPa of {steel.fy:g} MPa: {p.bending_use:.3f}",
                f"A_s = {p.strip_area:.0f} mm2, τ = {p.thread_use * steel.fy / math.sqrt(3):.1f} MPa of fy / √3: "
                f"{p.thread_use:.3f}",
            ),
            source="strip in elastic bending; thread geometry of ISO 68-1, as in FED-STD-H28 (from memory)",
        ),
    )  # fmt: skip
    s: PadCheck = max(pads, key=lambda q: q.stud_use)
    stud = stud_class(find_thread(brief.feet.thread))
    yield Figure(
        id="feet.stud_utilisation", label="Worst foot stud", value=s.stud_use, unit="1", group="strength", limit=1.0,
        limit_kind="max", verdict=at_most(s.stud_use, 1.0), note=f"{s.foot}, {s.stud_case}", parts=(s.foot,),
        work=lambda: Working(
            formula="η = γ (N / A + M / W) / fy, on the root diameter",
            inputs=(
                _factor(answers),
                Input(symbol="fy", label=f"yield strength of the stud, {class_words(stud)}", value=yield_stress(stud),
                      unit="MPa", origin="assumed", source=class_source(stud)),
            ),
            steps=(f"{brief.feet.thread}: N / A + M / W = {s.stud_stress:.1f} MPa, η = {s.stud_use:.3f}",),
            source="statics; a longer stud bends more, so keep the feet short",
        ),
    )  # fmt: skip


def _bolt(answers: Answers, b: BoltCheck) -> Figure:
    steps = [
        f"tension {b.tension:.0f} N of a proof load of {b.proof:.0f} N; shear {b.shear:.0f} N of {b.shear_limit:.0f} N; "
        f"bearing {b.bearing_limit:.0f} N",
        f"η = {b.use:.3f}",
    ]
    if b.sleeve:
        steps.append(
            f"{b.mount}: the bolt goes through a hollow tube; weld in a crush sleeve or a nut plate, or tightening "
            "dents the wall"
        )
    return Figure(
        id="bolts.utilisation", label="Worst holding-down bolt", value=b.use, unit="1", group="strength", limit=1.0,
        limit_kind="max", verdict=at_most(b.use, 1.0), note=f"{b.mount}, {b.case}" + (", crush sleeve" if b.sleeve else ""),
        parts=tuple(m.member for m in answers.frame.mounts if m.name == b.mount and m.member),
        assumed=_assumed(answers, "machine.bolt", "mounting.bolt_class"),
        work=lambda: Working(
            formula="η = γ max(F_t / F_proof, F_v / F_v,Rd + F_t / (1.4 F_t,Rd), F_v / F_b,Rd)",
            inputs=(
                _factor(answers),
                Input(symbol="f_ub", label=f"tensile strength of {b.thread}, {class_words(b.bolt_class)}",
                      value=tensile(b.bolt_class), unit="MPa",
                      origin=origin(answers.brief, "mounting.bolt_class"), key="mounting.bolt_class",
                      source=class_source(b.bolt_class)),
                Input(symbol="α_v", label="its thread in shear, of that", value=shear_share(b.bolt_class), unit="1",
                      origin="table", source="EN 1993-1-8:2005 table 3.4, from memory"),
            ),
            steps=tuple(steps),
            source=f"proof load: {class_source(b.bolt_class)}; EN 1993-1-8:2005 table 3.4 (from memory)", note=CAUTION,
        ),
    )  # fmt: skip


def _buckling(answers: Answers) -> Iterator[Figure]:
    s, c = answers.strength, answers.strength.checks
    value = s.buckling_bound if c.buckling is None else c.buckling
    if not math.isfinite(value):
        return
    if c.buckling is None:
        steps: tuple[str, ...] = (
            "every member takes its largest compression over all cases, none its tension",
            "the frame as a whole, and each span between joints as a pinned strut, π² E I / L²",
            f"the lower of the two is {value:.0f} times that: no single case buckles sooner",
        )
    else:
        steps = (
            f"each case on its own: the lowest factor is {value:.2f}, case {c.buckling_case}, {c.buckling_of}",
            "the frame as a whole by its eigenvalue; a span between joints as a strut pinned at both ends, π² E I / L²",
        )
    if c.amplification > 1:
        steps = (*steps, f"moments in the member checks are taken {c.amplification:.3f} times, 1 / (1 - 1 / α_cr)")
    yield Figure(
        id="buckling.factor", label="Buckling, at least" if c.buckling is None else "Buckling", value=value, unit="1",
        group="strength", limit=10.0, limit_kind="min", verdict=at_least(value, 10.0), note=c.buckling_case,
        work=lambda: Working(
            formula="(K - λ Kg) φ = 0",
            inputs=(computed("λ", "least factor", value, "1", "eigenvalue, or a pinned strut between joints"),),
            steps=steps,
            source="linear buckling of the frame; below a factor of 10 second-order effects count, EN 1993-1-1 5.2.1(3)",
        ),
    )  # fmt: skip

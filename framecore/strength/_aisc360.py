"""Members by AISC 360-16, allowable strength: E3, E4, E7, F5 to F11, G, H1, H3. Arrays throughout.

Formulas from memory of the specification; checked against printed examples in the validation tests. Forces
that come in are the service loads times Omega (1.67 of the specification or what the brief asks), so they are
held against nominal strengths: the same as dividing the strengths by Omega. u is the stiff axis, v the weak.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, fields
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from framecore.catalogue.model import Steel
from framecore.strength._code_section import CodeSection, code_section

Floats = NDArray[np.float64]
CODE = "AISC 360-16"
_WALLS = 2  # different walls of a section that may be slender


@dataclass(frozen=True, slots=True, eq=False)
class Table:
    """Numbers of many members, one array each; N, N mm, mm."""

    area: Floats
    fy: Floats
    m_u: Floats  # nominal, before lateral-torsional buckling
    m_v: Floats
    v_u: Floats
    v_v: Floats
    t_n: Floats
    closed: Floats
    twists: Floats  # 1: torsional-flexural buckling E4 counts
    klass: Floats  # 1 compact, 2 noncompact, 3 slender, by the worst wall
    yield_u: Floats  # yield moment about u
    flat: Floats  # 1: bars bent about u by F11
    ei_u: Floats
    ei_v: Floats
    gj: Floats
    ei_w: Floats
    polar: Floats
    h: Floats
    couples: Floats
    beta: Floats
    lean_1: Floats  # width over thickness, slender limit, steel of that width (mm2), of both different walls
    lean_2: Floats
    slender_1: Floats
    slender_2: Floats
    steel_1: Floats
    steel_2: Floats
    c1: Floats
    round_lean: Floats

    def at(self, index: NDArray[np.intp]) -> Table:
        """Rows of members ``index``, each array (len(index),)."""
        return Table(*(getattr(self, f.name)[index] for f in fields(self)))

    def wide(self, axes: int) -> Table:
        """The same with ``axes`` axes of length one behind."""
        shape = (...,) + (None,) * axes
        return Table(*(getattr(self, f.name)[shape] for f in fields(self)))


def section_class(s: CodeSection, steel: Steel) -> int:
    """1 compact, 2 noncompact, 3 slender as a flexural member. Source: table B4.1b."""
    if s.bar:
        return 1
    root = math.sqrt(steel.e / steel.fy)
    if s.box:
        flange = _class_of(max(s.lean_y, s.lean_z), 1.12 * root, 1.40 * root)
        return max(flange, _class_of(max(s.lean_y, s.lean_z), 2.42 * root, 5.70 * root))
    if s.round_:
        return _class_of(s.long / s.wall, 0.07 * steel.e / steel.fy, 0.31 * steel.e / steel.fy)
    if s.angle:
        return _class_of(s.long / s.wall, 0.54 * root, 0.91 * root)
    return max(_class_of(s.lean_y, 0.38 * root, 1.0 * root), _class_of(s.lean_z, 3.76 * root, 5.70 * root))


def _class_of(lean: float, compact: float, slender: float) -> int:
    return 1 + (lean > compact) + (lean > slender)


def bending(s: CodeSection, steel: Steel) -> tuple[float, float]:
    """Nominal moments about u and v without lateral-torsional buckling, N mm.

    F7 and F8 for tubes (a web of a home stand's tube is never slender), F10 for angles, F11 for bars; channels
    are held to their yield moment.
    """
    fy, root = steel.fy, math.sqrt(steel.fy / steel.e)
    klass = section_class(s, steel)
    if s.bar:
        return min(fy * s.pl_u, 1.6 * fy * s.el_u), min(fy * s.pl_v, 1.6 * fy * s.el_v)
    if s.box:
        # Bending about u compresses the walls across v: along the profile's y where u is y.
        flange_u, flange_v = (s.lean_y, s.lean_z) if s.u_is_y else (s.lean_z, s.lean_y)
        web_u, web_v = flange_v, flange_u
        return (
            _box_moment(s.pl_u, s.el_u, s.i_u, flange_u, web_u, s, steel),
            _box_moment(s.pl_v, s.el_v, s.i_v, flange_v, web_v, s, steel),
        )
    if s.round_:
        lean = s.long / s.wall
        m = fy * s.pl_u
        if klass == 2:
            m = (0.021 * steel.e / lean + fy) * s.el_u
        elif klass == 3:
            m = 0.33 * steel.e / lean * s.el_u
        return min(m, fy * s.pl_u), min(m, fy * s.pl_v)
    if s.angle:
        lean = s.long / s.wall
        out = []
        for el in (s.el_u, s.el_v):
            m = 1.5 * fy * el
            if klass == 2:
                m = min(m, fy * el * (2.43 - 1.72 * lean * root))
            elif klass == 3:
                m = min(m, 0.71 * steel.e / lean**2 * el)
            out.append(m)
        return out[0], out[1]
    share = min(1.0, 1.0 / max(s.lean_y * root, 1e-9)) if klass == 3 else 1.0
    return fy * s.el_u * share, fy * s.el_v * share


def _box_moment(pl: float, el: float, i: float, flange: float, web: float, s: CodeSection, steel: Steel) -> float:
    """F7: yielding, flange local buckling (F7-2, F7-3 with the width F7-4), web local buckling (F7-6)."""
    fy, mp = steel.fy, steel.fy * pl
    root = math.sqrt(fy / steel.e)
    m = mp
    if flange * root > 1.40:
        t, b = s.wall, flange * s.wall
        be = min(b, 1.92 * t / root * (1 - 0.38 / (flange * root)))
        depth = i / el  # half the depth
        # Steel missing from the compressed wall, without the shift of the axis, both sides alike: the safe side.
        m = min(m, fy * (el - 2 * (b - be) * t * (depth - t / 2) ** 2 / depth))
    elif flange * root > 1.12:
        m = min(m, mp - (mp - fy * el) * (3.57 * flange * root - 4.0))
    if web * root > 2.42:
        m = min(m, mp - (mp - fy * el) * (0.305 * web * root - 0.738))
    return m


@lru_cache(maxsize=256)
def _numbers(s: CodeSection, steel: Steel) -> tuple[float, ...]:
    fy, e = steel.fy, steel.e
    root = math.sqrt(e / fy)
    m_u, m_v = bending(s, steel)
    t = s.wall
    # Shear areas of G4 and G3: two walls of flat height, half of a round tube, one leg, the catalogue's elsewhere.
    if s.box:
        y, z = 2 * s.lean_y * t * t, 2 * s.lean_z * t * t
        a_u, a_v = (y, z) if s.u_is_y else (z, y)
    elif s.round_:
        a_u = a_v = s.area / 2
    else:
        a_u, a_v = s.av_u, s.av_v
    lean = max(s.lean_y, s.lean_z)
    f_cr = 0.6 * fy
    if s.box and lean > 2.45 * root:
        f_cr = min(f_cr, max(0.6 * fy * 2.45 * root / lean if lean <= 3.07 * root else 0.458 * math.pi**2 * e / lean**2, 0))
    solid = s.bar and s.long < 1.001 * s.short
    if s.bar or s.round_:
        walls = (0.0, 0.0, 1.0, 1.0, 0.0, 0.0)
    elif s.box:
        walls = (s.lean_y, s.lean_z, 1.40 * root, 1.40 * root, 2 * s.lean_y * t * t, 2 * s.lean_z * t * t)
    elif s.angle:
        walls = (s.long / t, s.short / t, 0.45 * root, 0.45 * root, s.long * t, s.short * t)
    else:
        walls = (s.lean_y, s.lean_z, 0.56 * root, 1.49 * root, 2 * s.lean_y * t * t, s.lean_z * t * t)
    twists = s.channel or (s.angle and s.long / t > 0.71 * root)
    return (
        s.area, fy, m_u, m_v, 0.6 * fy * a_u, 0.6 * fy * a_v, f_cr * s.torsion_c,
        float(s.box or s.round_ or solid), float(twists), float(section_class(s, steel)), fy * s.el_u,
        float(s.bar and not solid), e * s.i_u, e * s.i_v, steel.g * s.j, e * s.i_w, s.polar, s.h, float(s.couples),
        s.beta, *walls, 0.20 if s.box else 0.22, s.long / t * fy / e if s.round_ else 0.0,
    )  # fmt: skip


def table(profiles: tuple[str | CodeSection, ...], steel: Steel | Sequence[Steel]) -> Table:
    """Numbers of these profiles, by id or as sections, in one steel or each in its own."""
    sections = [code_section(p) if isinstance(p, str) else p for p in profiles]
    steels = [steel] * len(sections) if isinstance(steel, Steel) else steel
    return Table(*np.array([_numbers(s, own) for s, own in zip(sections, steels, strict=True)]).T)


@dataclass(frozen=True, slots=True, eq=False)
class Span:
    """Nominal strengths of spans; arrays as the lengths."""

    f_cr: Floats
    n: Floats  # in compression, N
    m_u: Floats  # with lateral-torsional buckling
    m_v: Floats

    def at(self, index: NDArray[np.intp]) -> Span:
        """Rows of spans ``index`` with two axes of length one behind."""
        return Span(*(getattr(self, f.name)[index][:, None, None] for f in fields(self)))


def critical_stress(fy: Floats, f_e: Floats) -> Floats:
    """E3-2 and E3-3, MPa."""
    ratio = fy / f_e
    return np.asarray(np.where(ratio <= 2.25, 0.658 ** np.minimum(ratio, 2.25) * fy, 0.877 * f_e))


def span(t: Table, length: Floats) -> Span:
    """Nominal strengths over an unbraced length, E3, E4, E7 and F10, F11 with Cb = 1."""
    sq = (math.pi / length) ** 2
    fe_u, fe_v = sq * t.ei_u / t.area, sq * t.ei_v / t.area
    fe_t = (sq * t.ei_w + t.gj) / (t.area * t.polar)
    partner = np.where(t.couples > 0, fe_u, fe_v)
    root = np.sqrt(np.maximum(1 - 4 * partner * fe_t * t.h / (partner + fe_t) ** 2, 0))
    fe_tf = (partner + fe_t) / (2 * t.h) * (1 - root)
    f_cr = critical_stress(t.fy, np.where(t.twists > 0, np.minimum(fe_tf, fe_v), fe_v))
    lost = sum(
        (1 - _effective(lean, limit, t, f_cr)) * steel
        for lean, limit, steel in ((t.lean_1, t.slender_1, t.steel_1), (t.lean_2, t.slender_2, t.steel_2))
    )
    # E7.2: round tubes between 0.11 and 0.45 E / Fy.
    share = np.where(t.round_lean > 0.11, 0.038 / np.maximum(t.round_lean, 0.11) + 2 / 3, 1.0)
    return Span(f_cr, f_cr * (t.area * share - lost), np.minimum(t.m_u, _lateral(t, length, sq)), t.m_v)


def _effective(lean: Floats, limit: Floats, t: Table, f_cr: Floats) -> Floats:
    """E7-2 and E7-3: effective share of a wall's width."""
    lean = np.maximum(lean, 1e-9)
    c2 = (1 - np.sqrt(1 - 4 * t.c1)) / (2 * t.c1)
    q = np.sqrt((c2 * limit / lean) ** 2 * t.fy / f_cr)
    return np.asarray(np.where(lean <= limit * np.sqrt(t.fy / f_cr), 1.0, np.minimum(1.0, (1 - t.c1 * q) * q)))


def _lateral(t: Table, length: Floats, sq: Floats) -> Floats:
    """Moment of lateral-torsional buckling about u, N mm; huge where it cannot happen.

    The elastic moment is pi / L sqrt(E I_v G J), which is F10-4 for angles, with their beta_w; F10-2, F10-3 and
    F11-2 to F11-4 follow.
    """
    n_v = sq * t.ei_v
    d = t.beta / 2 * np.sqrt(n_v / t.gj)
    m_cr = np.sqrt(n_v * t.gj) * (np.sqrt(1 + d**2) - d)
    ratio = t.yield_u / m_cr
    angle = np.where(ratio <= 1, (1.92 - 1.17 * np.sqrt(np.minimum(ratio, 1))), (0.92 - 0.17 / np.maximum(ratio, 1)) / ratio)
    # For a bar pi sqrt(E Iv G J) / L = 1.9 E / (L d / t2) S, so the code's (L d / t2) Fy / E is 1.9 x the ratio.
    slender = 1.9 * ratio
    bar = np.where(slender <= 0.08, 2.0, np.where(ratio <= 1, 1.52 - 0.274 * slender, 1 / np.maximum(ratio, 1)))
    return np.asarray(np.where(t.closed > 0, np.inf, t.yield_u * np.where(t.flat > 0, bar, angle)))


def span_use(t: Table, b: Span, n: Floats, m_u: Floats, m_v: Floats) -> Floats:
    """H1-1a and H1-1b; ``n`` compression as a positive number, tension negative, sizes of the moments."""
    axial = np.where(n > 0, n / b.n, -n / (t.area * t.fy))
    bent = m_u / b.m_u + m_v / b.m_v
    return np.asarray(np.where(axial >= 0.2, axial + 8 / 9 * bent, axial / 2 + bent))


def section_use(
    t: Table, b: Span, n: Floats, v_u: Floats, v_v: Floats, torque: Floats, m_u: Floats, m_v: Floats
) -> tuple[Floats, Floats]:
    """H3-6 where torsion counts (over 0.2 of its strength), and shear (G) or torsion (H3.1) alone.

    ``b`` holds the strengths of the span each end belongs to. H3-6 is used for open shapes too.
    """
    twist = np.abs(torque) / t.t_n
    shear = np.maximum(np.abs(v_u) / t.v_u, np.abs(v_v) / t.v_v)
    normal = np.abs(n) / np.where(n < 0, b.n, t.area * t.fy) + np.abs(m_u) / b.m_u + np.abs(m_v) / b.m_v
    both = np.where(twist > 0.2, normal + (shear + twist) ** 2, 0.0)
    return both, np.maximum(shear, twist)

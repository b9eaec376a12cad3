"""Members by EN 1993-1-1:2005: classes, resistances, buckling, interaction. Arrays throughout.

Formulas from memory of the standard; checked against printed examples in the validation tests. Forces that
come in are design values (the load factor is in them); gamma_M0 = gamma_M1 = 1.0. u is the code's y, v its z.
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
CODE = "EN 1993-1-1"
# Imperfection factors of buckling curves, table 6.1.
ALPHA = {"a0": 0.13, "a": 0.21, "b": 0.34, "c": 0.49, "d": 0.76}
_CM = 1.0  # equivalent uniform moment: the largest moment all along the span, the safe side of table B.3
_TINY = 1e-9


@dataclass(frozen=True, slots=True, eq=False)
class Table:
    """Resistances of many members, one array each; N, N mm, mm."""

    area_fy: Floats  # N of the whole section
    n_k: Floats  # in compression, effective area
    m_u: Floats
    m_v: Floats
    v_u: Floats
    v_v: Floats
    t_rd: Floats
    closed: Floats  # 1 for tubes and round or square bars: no lateral-torsional buckling
    plastic: Floats  # 1 for classes 1 and 2
    klass: Floats
    alpha: Floats
    ei_u: Floats
    ei_v: Floats
    gj: Floats
    ei_w: Floats
    polar: Floats
    h: Floats
    couples: Floats
    beta: Floats

    def at(self, index: NDArray[np.intp]) -> Table:
        """Rows of members ``index``, each array (len(index),)."""
        return Table(*(getattr(self, f.name)[index] for f in fields(self)))

    def wide(self, axes: int) -> Table:
        """The same with ``axes`` axes of length one behind."""
        shape = (...,) + (None,) * axes
        return Table(*(getattr(self, f.name)[shape] for f in fields(self)))


def section_class(s: CodeSection, fy: float) -> int:
    """Class 1 to 4 in uniform compression. Source: EN 1993-1-1 table 5.2."""
    eps = math.sqrt(235 / fy)
    if s.bar:
        return 1
    if s.round_:
        lean, limits = s.long / s.wall, (50 * eps**2, 70 * eps**2, 90 * eps**2)
    elif s.box:
        lean, limits = max(s.lean_y, s.lean_z), (33 * eps, 38 * eps, 42 * eps)
    elif s.angle:
        fits = s.long / s.wall <= 15 * eps and (s.long + s.short) / (2 * s.wall) <= 11.5 * eps
        return 3 if fits else 4
    else:
        web = [w * eps for w in (33, 38, 42)]
        flange = [w * eps for w in (9, 10, 14)]
        return max(_class_of(s.lean_z, web), _class_of(s.lean_y, flange))
    return _class_of(lean, limits)


def _class_of(lean: float, limits: tuple[float, ...] | list[float]) -> int:
    return 1 + sum(lean > limit for limit in limits)


def effective_share(s: CodeSection, fy: float) -> float:
    """Effective over whole area in uniform compression.

    Source: EN 1993-1-5 4.4, k_sigma 4 for walls held at both edges, 0.43 for outstands. A round tube of class 4
    belongs to EN 1993-1-6; here its area is taken down by 90 eps^2 t / d.
    """
    eps = math.sqrt(235 / fy)
    if section_class(s, fy) < 4:
        return 1.0
    if s.round_:
        return 90 * eps**2 * s.wall / s.long
    t = s.wall
    if s.box:
        lost = sum(2 * (1 - _rho(lean, 4.0, eps)) * lean * t * t for lean in (s.lean_y, s.lean_z))
    elif s.angle:
        lost = sum((1 - _rho(side / t - 1, 0.43, eps)) * (side - t) * t for side in (s.long, s.short))
    else:
        lost = 2 * (1 - _rho(s.lean_y, 0.43, eps)) * s.lean_y * t * t + (1 - _rho(s.lean_z, 4.0, eps)) * s.lean_z * t * t
    return 1 - lost / s.area


def _rho(lean: float, k: float, eps: float) -> float:
    lp = lean / (28.4 * eps * math.sqrt(k))
    if k > 1:
        return 1.0 if lp <= 0.673 else min(1.0, (lp - 0.22) / lp**2)
    return 1.0 if lp <= 0.748 else min(1.0, (lp - 0.188) / lp**2)


@lru_cache(maxsize=256)
def _numbers(s: CodeSection, steel: Steel) -> tuple[float, ...]:
    fy, klass = steel.fy, section_class(s, steel.fy)
    share = effective_share(s, fy)
    # Class 4: the moduli are taken down as the area is, more than the one compressed wall would ask.
    w_u, w_v = (s.pl_u, s.pl_v) if klass < 3 else (s.el_u * share, s.el_v * share)
    tau = fy / math.sqrt(3)
    solid = s.bar and s.long < 1.001 * s.short
    alpha = ALPHA["a"] if s.hot and not s.angle else ALPHA["b"] if s.angle else ALPHA["c"]
    return (
        s.area * fy, share * s.area * fy, w_u * fy, w_v * fy, s.av_u * tau, s.av_v * tau, s.w_t * tau,
        float(s.box or s.round_ or solid), float(klass < 3), float(klass), alpha, steel.e * s.i_u, steel.e * s.i_v,
        steel.g * s.j, steel.e * s.i_w, s.polar, s.h, float(s.couples), s.beta,
    )  # fmt: skip


def table(profiles: tuple[str | CodeSection, ...], steel: Steel | Sequence[Steel]) -> Table:
    """Numbers of these profiles, by id or as sections, in one steel or each in its own."""
    sections = [code_section(p) if isinstance(p, str) else p for p in profiles]
    steels = [steel] * len(sections) if isinstance(steel, Steel) else steel
    return Table(*np.array([_numbers(s, own) for s, own in zip(sections, steels, strict=True)]).T)


def chi(slenderness: Floats, alpha: Floats | float) -> Floats:
    """Reduction factor, (6.49)."""
    phi = 0.5 * (1 + alpha * (slenderness - 0.2) + slenderness**2)
    return np.minimum(1.0, 1 / (phi + np.sqrt(np.maximum(phi**2 - slenderness**2, 0.0))))


@dataclass(frozen=True, slots=True, eq=False)
class Span:
    """Buckling of spans; arrays as the lengths."""

    lam_u: Floats
    lam_v: Floats
    chi_u: Floats
    chi_v: Floats  # the lower of flexure about v and torsional-flexural buckling
    chi_lt: Floats

    def at(self, index: NDArray[np.intp]) -> Span:
        """Rows of spans ``index`` with two axes of length one behind."""
        return Span(*(getattr(self, f.name)[index][:, None, None] for f in fields(self)))


def span(t: Table, length: Floats) -> Span:
    """Slenderness and reduction factors over a buckling length, 6.3.1 and 6.3.2.2 (curve d, M_cr of uniform moment)."""
    sq = (math.pi / length) ** 2
    n_u, n_v = sq * t.ei_u, sq * t.ei_v
    n_t = (sq * t.ei_w + t.gj) / t.polar
    partner = np.where(t.couples > 0, n_u, n_v)
    n_tf = (partner + n_t) / (2 * t.h) * (1 - np.sqrt(np.maximum(1 - 4 * partner * n_t * t.h / (partner + n_t) ** 2, 0)))
    lam_u, lam_v = np.sqrt(t.n_k / n_u), np.sqrt(t.n_k / n_v)
    lam_tf = np.sqrt(t.n_k / np.where(t.closed > 0, n_v, np.minimum(n_tf, n_v)))
    d = t.beta / 2 * np.sqrt(n_v / t.gj)
    m_cr = np.sqrt(n_v * t.gj) * (np.sqrt(1 + d**2) - d)
    lam_lt = np.sqrt(t.m_u / m_cr)
    curves = np.stack([t.alpha, t.alpha, np.full_like(t.alpha, ALPHA["d"])])
    chi_u, chi_v, chi_lt = chi(np.stack([lam_u, lam_tf, lam_lt]), curves)
    return Span(lam_u, lam_v, chi_u, chi_v, np.where(t.closed > 0, 1.0, chi_lt))


def span_use(t: Table, b: Span, n: Floats, m_u: Floats, m_v: Floats, cm: float = _CM) -> Floats:
    """Interaction (6.61) and (6.62), the larger, factors of annex B tables B.1 and B.2.

    ``n`` compression as a positive number, ``m_u`` and ``m_v`` sizes of the largest moments of the span. Where
    torsion can turn the member (open shapes) k_zy is 1, its greatest value.
    """
    n_u, n_v = n / (b.chi_u * t.n_k), n / (b.chi_v * t.n_k)
    k_u = np.where(t.plastic > 0, 1 + np.minimum(b.lam_u - 0.2, 0.8) * n_u, 1 + 0.6 * np.minimum(b.lam_u, 1.0) * n_u)
    k_v = np.where(t.plastic > 0, 1 + np.minimum(b.lam_v - 0.2, 0.8) * n_v, 1 + 0.6 * np.minimum(b.lam_v, 1.0) * n_v)
    r_u, r_v = cm * m_u / (b.chi_lt * t.m_u), cm * m_v / t.m_v
    cross_v = np.where(t.plastic > 0, 0.6, 1.0)
    cross_u = np.where(t.closed > 0, np.where(t.plastic > 0, 0.6, 0.8) * k_u, 1.0 / cm)
    return np.asarray(np.maximum(n_u + k_u * r_u + cross_v * k_v * r_v, n_v + cross_u * r_u + k_v * r_v))


def section_use(
    t: Table, b: Span, n: Floats, v_u: Floats, v_v: Floats, torque: Floats, m_u: Floats, m_v: Floats
) -> tuple[Floats, Floats]:
    """Cross-section: normal force with bending, and shear with torsion, each as a share of what it bears.

    Linear sum 6.2.1(7), the strength taken down by rho of 6.2.8 and 6.2.10 where the shear is over half;
    shear beside torsion 6.2.7(9), torsion itself (6.23). ``n`` tension positive; sizes are taken inside.
    ``b`` is not used: buckling has its own check.
    """
    twist = np.abs(torque) / t.t_rd
    left = np.where(t.closed > 0, 1 - twist, np.sqrt(np.maximum(1 - twist / 1.25, 0.0)))
    left = np.maximum(left, _TINY)
    shear = np.maximum(np.abs(v_u) / t.v_u, np.abs(v_v) / t.v_v) / left
    rho = np.minimum(np.maximum(2 * shear - 1, 0.0), 1.0) ** 2
    bears = np.where(n < 0, t.n_k, t.area_fy)
    normal = np.abs(n) / bears + np.abs(m_u) / t.m_u + np.abs(m_v) / t.m_v
    # Past its whole torsional strength a member is not infinitely overloaded by the shear that it also bears.
    shear = np.where(twist < 1, shear, 0.0)
    return normal / np.maximum(1 - rho, 0.05), np.maximum(shear, twist)

"""Figures of stiffness, standing and strength."""

from __future__ import annotations

import math
from collections.abc import Iterator

from framecore.figures._judge import at_least, at_most
from framecore.figures.model import Answers, Figure, Input, Working
from framecore.strength import UNIT_FORCE, UNIT_TORQUE

FRAME_SOURCE = "3D frame analysis by the direct stiffness method, Timoshenko beams; computed"


def figures(answers: Answers) -> Iterator[Figure]:
    """Yield the figures that the analysis gives."""
    brief, s = answers.brief, answers.strength
    limits = brief.limits
    for axis, value, way in (("x", s.sway_x, "sideways"), ("y", s.sway_y, "front to back")):
        yield Figure(
            id=f"sway.stiffness_{axis}", label=f"Sway stiffness {way}", value=value, unit="N/mm", group="stiffness",
            limit=limits.sway, limit_kind="min", verdict=at_least(value, limits.sway),
            working=Working(
                formula="k = F / u",
                inputs=(
                    Input(symbol="F", label="force shared by the top ring", value=UNIT_FORCE, unit="N", origin="computed"),
                    Input(symbol="u", label="its mean movement", value=UNIT_FORCE / value, unit="mm", origin="computed"),
                ),
                steps=(f"k = {UNIT_FORCE:.0f} N / {UNIT_FORCE / value:.4g} mm = {value:.4g} N/mm",), source=FRAME_SOURCE,
            ),
        )  # fmt: skip
    turn, torque = s.twist * math.pi / 180 / 1000, UNIT_TORQUE / 1000  # N m/deg, N m
    yield Figure(
        id="twist.stiffness", label="Twist stiffness", value=turn, unit="N m/deg", group="stiffness",
        limit=limits.twist, limit_kind="min", verdict=at_least(turn, limits.twist),
        working=Working(
            formula="k = T / θ",
            inputs=(Input(symbol="T", label="torque about the vertical", value=torque, unit="N m", origin="computed"),),
            steps=(f"θ = {torque:.0f} N m / {turn:.4g} N m/deg = {torque / turn:.4g} deg",), source=FRAME_SOURCE,
        ),
    )  # fmt: skip
    worst = max(s.members, key=lambda m: m.utilisation)
    yield Figure(
        id="members.utilisation", label="Worst member", value=worst.utilisation, unit="1", group="strength",
        limit=1.0, limit_kind="max", verdict=at_most(worst.utilisation, 1.0), note=f"{worst.member}, {worst.case}",
        working=Working(
            formula="η = γ σ / fy, σ = √((N/A + My z/Iu - Mz y/Iv)² + 3 τ²)",
            inputs=(
                Input(symbol="γ", label="margin", value=limits.yield_margin, unit="1",
                      origin="assumed" if "limits.yield_margin" in brief.assumed else "typed"),
                Input(symbol="σ", label="stress", value=worst.stress, unit="MPa", origin="computed"),
                Input(symbol="fy", label="yield strength", value=worst.fy, unit="MPa", origin="table"),
            ),
            steps=(f"η = {limits.yield_margin:g} x {worst.stress:.4g} / {worst.fy:g} = {worst.utilisation:.3f}",),
            source="von Mises, as EN 1993-1-1 6.2.1(5)",
        ),
    )  # fmt: skip
    if math.isfinite(s.buckling_bound):
        yield Figure(
            id="buckling.factor", label="Buckling, at least", value=s.buckling_bound, unit="1", group="strength",
            limit=10.0, limit_kind="min", verdict=at_least(s.buckling_bound, 10.0),
            working=Working(
                formula="(K - λ Kg) φ = 0", inputs=(),
                steps=(
                    "every member takes its largest compression over all cases, none its tension",
                    "the frame as a whole, and each span between joints as a pinned strut, pi² E I / L²",
                    f"the lower of the two is {s.buckling_bound:.0f} times that: no single case buckles sooner",
                ),
                source="linear buckling of the frame; below a factor of 10 second-order effects count, EN 1993-1-1 5.2.1(3)",
            ),
        )  # fmt: skip

"""Figures of stiffness, standing and strength."""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import partial

from framecore.figures._judge import at_least
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
            work=partial(lambda value: Working(
                formula="k = F / u",
                inputs=(
                    Input(symbol="F", label="force shared by the top ring", value=UNIT_FORCE, unit="N", origin="computed"),
                    Input(symbol="u", label="its mean movement", value=UNIT_FORCE / value, unit="mm", origin="computed"),
                ),
                steps=(f"k = {UNIT_FORCE:.0f} N / {UNIT_FORCE / value:.4g} mm = {value:.4g} N/mm",), source=FRAME_SOURCE,
            ), value),
        )  # fmt: skip
    turn, torque = s.twist * math.pi / 180 / 1000, UNIT_TORQUE / 1000  # N m/deg, N m
    yield Figure(
        id="twist.stiffness", label="Twist stiffness", value=turn, unit="N m/deg", group="stiffness",
        limit=limits.twist, limit_kind="min", verdict=at_least(turn, limits.twist),
        work=lambda: Working(
            formula="k = T / θ",
            inputs=(Input(symbol="T", label="torque about the vertical", value=torque, unit="N m", origin="computed"),),
            steps=(f"θ = {torque:.0f} N m / {turn:.4g} N m/deg = {torque / turn:.4g} deg",), source=FRAME_SOURCE,
        ),
    )  # fmt: skip

"""Figures of the working height."""

from __future__ import annotations

from collections.abc import Iterator

from framecore.figures._judge import given, within
from framecore.figures.model import Answers, Figure, Input, Working
from framecore.height import BANDS

BAND_SOURCE = (
    "bands against the elbow: Pheasant and Haslegrave, Bodyspace, 3rd ed. 2006; turning at the elbow is common "
    "practice; authors differ by 50 to 150 mm, so treat the band as a guide"
)


def figures(answers: Answers) -> Iterator[Figure]:
    """Yield the height of the seat, of the work line, and the gap to the elbow."""
    brief, h = answers.brief, answers.height
    from_elbow = brief.frame.height is None
    low, high = BANDS[h.work]
    above = h.work_line - h.height
    elbow = Input(
        symbol="E", label="elbow in shoes", value=h.elbow, unit="mm",
        origin="computed" if h.origin != "measured" else "typed", source=h.origin,
    )  # fmt: skip
    jack = given(brief, "mounting.jack", "j")
    line = given(brief, "machine.work_line", "w", "work line above its feet")
    assumed = tuple(p for p in ("operator.elbow", "machine.work_line", "mounting.jack") if p in brief.assumed)
    yield Figure(
        id="height.stand", label="Stand, floor to seat", value=h.height, unit="mm", group="height",
        limit=h.band_low, limit_high=h.band_high, limit_kind="band", assumed=assumed,
        verdict=within(h.height, h.band_low, h.band_high),
        work=lambda: Working(
            formula="H = E + b - w - j", inputs=(elbow, line, jack),
            steps=(
                f"band {low:+.0f} to {high:+.0f} mm against the elbow for {h.work} work",
                f"lowest {h.elbow:.0f} {low:+.0f} - {above:.0f} = {h.band_low:.0f} mm",
                f"highest {h.elbow:.0f} {high:+.0f} - {above:.0f} = {h.band_high:.0f} mm",
                f"middle of the band {h.ideal:.0f} mm" if from_elbow else f"as typed {h.height:.1f} mm",
            ),
            source=BAND_SOURCE,
        ),
    )  # fmt: skip
    yield Figure(
        id="height.work_line", label="Work line, floor to hands", value=h.work_line, unit="mm", group="height",
        assumed=assumed,
        work=lambda: Working(
            formula="L = H + j + w", inputs=(jack, line),
            steps=(f"L = {h.height:.1f} + {brief.mounting.jack:.1f} + {brief.machine.work_line:.1f} = {h.work_line:.1f} mm",),
            source="geometry",
        ),
    )  # fmt: skip
    yield Figure(
        id="height.elbow_gap", label="Work line above the elbow", value=h.gap, unit="mm", group="height",
        limit=low, limit_high=high, limit_kind="band", verdict=within(h.gap, low, high), assumed=assumed,
        work=lambda: Working(
            formula="g = L - E", inputs=(elbow,), steps=(f"g = {h.work_line:.1f} - {h.elbow:.1f} = {h.gap:.1f} mm",),
            source=BAND_SOURCE,
        ),
    )  # fmt: skip
    if h.platform > 0:
        yield Figure(
            id="height.platform", label="Platform for the shorter user", value=h.platform, unit="mm", group="height",
            work=lambda: Working(
                formula="p = what lifts the shorter user's band to the stand", inputs=(),
                steps=(f"no height suits both users; a platform of {h.platform:.0f} mm does",), source=BAND_SOURCE,
            ),
        )  # fmt: skip

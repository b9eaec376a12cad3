"""Figures of how the stand shakes: its modes, and how clear they are of the running speeds."""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import partial

from framecore.figures._judge import at_least, given
from framecore.figures.model import Answers, Figure, Input, Verdict, Working
from framecore.strength import RunningSpeed

SOURCE = "3D frame analysis by the direct stiffness method, Timoshenko beams, consistent masses; computed"
RULE = "keep natural frequencies a band away from running speeds: common practice for machine bases, from memory"
_RANK = {Verdict.NONE: 0, Verdict.GOOD: 1, Verdict.LOOK: 2, Verdict.STOP: 3}


def figures(answers: Answers) -> Iterator[Figure]:
    """Yield the modes and the gap between them and what turns."""
    yield from _modes(answers)
    speeds = answers.strength.motion.speeds
    if not speeds:
        return
    worst = min(speeds, key=lambda s: s.gap)
    parts = []
    for what, label in (("spindle", "Spindle speeds clear of modes"), ("motor", "Motor speed clear of modes")):
        same = [s for s in speeds if s.what == what]
        if same:
            parts.append(_clear(answers, f"speeds.{what}", label, min(same, key=lambda s: s.gap), same))
    verdict = max((p.verdict for p in parts), key=_RANK.__getitem__)
    yield _clear(answers, "modes.clear", "Running speeds clear of modes", worst, list(speeds), verdict)
    yield from parts


def _modes(answers: Answers) -> Iterator[Figure]:
    s, least = answers.strength, answers.brief.limits.frequency
    for k, hz in enumerate(s.modes_hz.tolist()):
        first = k == 0
        share = s.motion.mass_share[k]
        held = sorted(zip(s.motion.energy[:, k].tolist(), s.motion.groups, strict=True), reverse=True)[:3]
        yield Figure(
            id=f"modes.{k + 1}", label=f"Mode {k + 1}, {_way(s.motion.names[k])}", value=hz, unit="Hz", group="motion",
            limit=least if first else None, limit_kind="min" if first else "",
            verdict=at_least(hz, least) if first else Verdict.NONE,
            note=f"what gives: {', '.join(f'{g} {100 * e:.0f} %' for e, g in held)}",
            work=partial(lambda hz, share, held: Working(
                formula="(K - ω² M) φ = 0, f = ω / 2π, m_eff = (φ' M r)² / φ' M φ", source=SOURCE,
                inputs=(
                    Input(symbol="M", label="stand and machine", value=s.total_mass, unit="kg", origin="computed"),
                ),
                steps=(
                    f"ω = {2 * math.pi * hz:.4g} rad/s, f = {hz:.4g} Hz",
                    "share of the mass that moves: sideways "
                    f"{100 * share[0]:.0f} %, front to back {100 * share[1]:.0f} %, up and down {100 * share[2]:.0f} %",
                    f"share of the turning mass: about the vertical {100 * share[5]:.0f} %",
                    "strain energy: " + ", ".join(f"{g} {100 * e:.0f} %" for e, g in held),
                ),
            ), hz, share, held),
        )  # fmt: skip


def _way(name: str) -> str:
    """What a mode does, without the number that tells it from others that do the same: it is told by its own or its speed."""
    return name.rstrip(" 0123456789")


def _clear(
    answers: Answers, name: str, label: str, worst: RunningSpeed, speeds: list[RunningSpeed], verdict: Verdict | None = None
) -> Figure:
    """Return the narrowest gap; a spindle speed in a band is worth a look only, as it can be passed by."""
    brief, s = answers.brief, answers.strength
    band = brief.limits.speed_band
    if verdict is None:
        verdict = at_least(worst.gap, band)
        if worst.what == "spindle" and verdict is Verdict.STOP:
            verdict = Verdict.LOOK
    met = [
        f"{one.rpm:.0f} rpm" + (" of the motor" if one.what == "motor" else "")
        for one in speeds if one.gap < band
    ]  # fmt: skip
    hz, mode = float(s.modes_hz[worst.nearest]), _way(s.motion.names[worst.nearest])
    key = "machine.speeds" if worst.what == "spindle" else "machine.motor_speed"
    return Figure(
        id=name, label=label, value=worst.gap, unit="1", group="motion", limit=band, limit_kind="min", verdict=verdict,
        assumed=(key,) if worst.origin == "assumed" else (),
        note=f"near a mode: {', '.join(met)}" if met else f"nearest is {worst.rpm:.0f} rpm to {mode}",
        work=lambda: Working(
            formula="gap = |f - n/60| / (n/60)", source=RULE,
            inputs=(
                Input(symbol="n", label=f"{worst.what} speed", value=worst.rpm, unit="rpm", origin=worst.origin,
                      key=key),
                Input(symbol="f", label=mode, value=hz, unit="Hz", origin="computed"),
                given(brief, "limits.speed_band", "band"),
            ),
            steps=(
                f"n/60 = {worst.rpm:.0f} / 60 = {worst.hz:.3g} Hz",
                f"gap = |{hz:.4g} - {worst.hz:.4g}| Hz / {worst.hz:.4g} Hz = {worst.gap:.3f}, least {band:g}",
                *(
                    f"{one.rpm:.0f} rpm = {one.hz:.3g} Hz: {_way(s.motion.names[one.nearest])} at "
                    f"{s.modes_hz[one.nearest]:.3g} Hz, gap {one.gap:.2f}, "
                    + ("clear" if one.gap >= band else "in the band")
                    for one in speeds
                ),
            ),
            note="An unbalanced spindle, chuck, wheel or pulley shakes the stand once a turn; near a mode it shakes hard. "
            "A spindle speed can be passed by, the motor always turns at its own.",
        ),
    )  # fmt: skip

"""Figures of the seat and of how the parts fit."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from framecore.figures._judge import at_most, given
from framecore.figures.model import Answers, Figure, Verdict, Working
from framecore.figures.strength import FRAME_SOURCE

_FIT_FORMULA = {
    "angle root": "c = r (2 - √2), stand-off (r - R)(1 - 1/√2)",
    "equal width": "o = R - √(R² - e²), e = (b - t)/2 - (B/2 - R)",
    "fillet room": "f = (B - 2 R - b) / 2",
}


def figures(answers: Answers) -> Iterator[Figure]:
    """Yield the sag under each mount and the fit-up of each kind of joint."""
    brief, frame, s = answers.brief, answers.frame, answers.strength
    limit = brief.limits.deflection
    for mount, sag in zip(frame.mounts, s.mount_sag, strict=True):
        number = mount.name.removeprefix("mount ")
        yield Figure(
            id=f"mount.sag.{number}", label=f"Sag under machine foot {number}", value=float(sag), unit="mm",
            group="seat", limit=limit, limit_kind="max", verdict=at_most(float(sag), limit), note=mount.member,
            work=partial(lambda sag: Working(
                formula="K u = F", source=FRAME_SOURCE,
                inputs=(given(brief, "machine.mass", "m", "machine"),),
                steps=(f"u = {sag:.4f} mm under stand and machine, floor and feet included",),
            ), sag),
        )  # fmt: skip
    told: set[str] = set()
    for joint in frame.joints:
        for fit in joint.fit_ups:
            # Joints of one kind between alike members fit alike: one figure says it for all.
            if fit.text in told:
                continue
            told.add(fit.text)
            value, label = {
                "angle root": (fit.chamfer, "Chamfer for the angle's root"),
                "equal width": (fit.opening, "Open corner to fill"),
            }.get(fit.kind, (fit.room, "Flat beside the branch for the fillet"))
            yield Figure(
                id="fitup." + joint.name.replace(" ", "_").lower(), label=f"{label}, {joint.kind}", value=value, unit="mm",
                group="seat", verdict=Verdict.NONE, note=fit.text,
                work=partial(lambda fit: Working(
                    formula=_FIT_FORMULA[fit.kind], inputs=(given(brief, "welding.leg", "z"),), steps=(fit.text,),
                    source=fit.source,
                ), fit),
            )  # fmt: skip

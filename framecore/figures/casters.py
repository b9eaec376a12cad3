"""Figures of the casters: what each has to bear while the stand rolls, and that it clears the floor at work."""

from __future__ import annotations

from collections.abc import Iterator

from framecore.figures._judge import at_least, at_most, given
from framecore.figures.model import Answers, Figure, Input, Working

RESERVE = 1.33
CAUTION = (
    "Casters are for moving an empty stand, or one whose machine is strapped down, over level floor; push low down, "
    "never at the top, with a second person; stand it on its feet before any work. The caster's own data sheet and "
    "the machine's manual come first."
)
LOAD_SOURCE = (
    "n - 1 rule with a third in reserve: makers' guides size each of four casters for a third of the load, as on "
    "uneven floor one may hang free (common practice)"
)


def figures(answers: Answers) -> Iterator[Figure]:
    """Yield the load on each caster against its rating and the clearance; nothing for a stand without."""
    casters = answers.frame.casters
    if not casters:
        return
    brief, total, n = answers.brief, answers.strength.total_mass, len(casters)
    load = RESERVE * total / max(1, n - 1)
    rating = given(brief, "casters.rating", "R")
    yield Figure(
        id="casters.load", label="Load to size each caster for", value=load, unit="kg", group="standing",
        limit=brief.casters.rating, limit_kind="max", verdict=at_most(load, brief.casters.rating),
        assumed=tuple(p for p in ("machine.mass", "casters.rating") if p in brief.assumed), note=CAUTION,
        work=lambda: Working(
            formula="P = 1.33 M / (n - 1)",
            inputs=(
                Input(symbol="M", label="stand, machine and what hangs on it", value=total, unit="kg", origin="computed"),
                Input(symbol="n", label="casters", value=float(n), unit="1", origin="typed", key="casters.kind"),
                rating,
            ),
            steps=(
                f"P = {RESERVE:g} x {total:.1f} kg / {max(1, n - 1)} = {load:.1f} kg",
                f"rating of one caster {brief.casters.rating:g} kg",
            ),
            source=LOAD_SOURCE, note=CAUTION,
        ),
    )  # fmt: skip
    clear = min(c.lift for c in casters)
    flat = brief.floor.flatness
    yield Figure(
        id="casters.clearance", label="Casters clear the floor by", value=clear, unit="mm", group="standing",
        limit=flat, limit_kind="min", verdict=at_least(clear, flat), note="while the feet carry",
        assumed=("floor.flatness",) if "floor.flatness" in brief.assumed else (),
        work=lambda: Working(
            formula="c = z_axle - d / 2",
            inputs=(given(brief, "casters.wheel", "d"), given(brief, "floor.flatness", "f")),
            steps=(
                f"z_axle = {clear + brief.casters.wheel / 2:.1f} mm, c = {clear:.1f} mm",
                f"the floor may stand up {flat:g} mm under a wheel",
            ),
            source="geometry; 10 mm is common practice",
        ),
    )  # fmt: skip

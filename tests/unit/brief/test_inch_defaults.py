"""A brief in inches takes sizes as they are sold in inches for what it does not give."""

from __future__ import annotations

import pytest

from framecore.brief import read_brief
from framecore.brief.reading import typical
from framecore.catalogue import profile, sheets, thread
from framecore.catalogue import sheet as find_sheet
from framecore.units import format_length

ROUND = (
    "frame.length", "frame.depth", "frame.lower_ring", "frame.pedestal", "frame.base_thickness", "mounting.block",
    "mounting.block_height", "feet.height", "feet.base", "feet.base_height", "feet.pad", "feet.pad_thickness", "feet.travel",
    "braces.gusset", "top.lip", "top.raised", "casters.wheel", "welding.leg", "steel.kerf", "floor.flatness",
)  # fmt: skip
KINDS = [k for k in typical() if k not in ("layout", "inch")]


def brief_of(kind: str, units: str, layout: str = "four-post"):
    return read_brief(f'format = 1\nunits = "{units}"\n[machine]\nkind = "{kind}"\n[frame]\nlayout = "{layout}"\n').brief


@pytest.mark.parametrize("layout", ["four-post", "tripod", "column"])
@pytest.mark.parametrize("kind", KINDS)
def test_every_size_is_one_of_an_inch_rule(kind: str, layout: str) -> None:
    brief = brief_of(kind, "inch", layout)
    for path in ROUND:
        section, name = path.split(".")
        told = format_length(getattr(getattr(brief, section), name), "inch")
        assert not told.startswith("~"), f"{path}: {told}"


@pytest.mark.parametrize("kind", KINDS)
def test_threads_profiles_and_sheets_are_of_the_inch_system(kind: str) -> None:
    brief = brief_of(kind, "inch")
    sections = brief.frame.sections
    assert {thread(t).system for t in (brief.machine.bolt, brief.feet.thread, brief.mounting.screw)} == {"inch"}
    assert {profile(getattr(sections, name)).system for name in type(sections).__slots__} == {"inch"}
    sold = [find_sheet(s).thickness for s in sheets("inch")]
    for thick in (brief.top.thickness, brief.braces.panel_thickness, brief.braces.gusset_thickness, brief.extras.sheet):
        assert min(abs(thick - s) for s in sold) < 1e-6


def test_a_metric_brief_keeps_its_own() -> None:
    metric = brief_of("mill", "metric")
    assert (metric.machine.bolt, metric.feet.pad_thickness, metric.mounting.bolt_class) == ("M12", 12.0, "8.8")
    assert metric.steel.grade == "S235"

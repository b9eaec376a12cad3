"""Build steps: in the order of the work, only what applies, in the brief's own units."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from framecore import evaluate
from framecore.shop import cautions
from framecore.shop._say import marks, names, size, within
from tests.unit.shop.work_samples import SAMPLES, of_text, stand, work

STAGES = ("saw", "fit", "weld", "drill", "finish", "set up", "level")


def titles(name):
    return [s.title for s in work(name).steps]


def words(steps):
    return "\n".join(f"{s.title} {s.text} {s.measure} {s.tolerance} {s.caution}" for s in steps)


@pytest.mark.parametrize("name", SAMPLES)
def test_numbered_from_one_and_whole(name):
    steps = work(name).steps
    assert [s.number for s in steps] == list(range(1, len(steps) + 1))
    for s in steps:
        assert s.stage in STAGES and s.title and s.text.endswith(".")
        assert not re.search(r"\(\)|  |\.\.|: \.|None|nan", s.text), s.text
        assert bool(s.measure) or not s.tolerance, s.title


@pytest.mark.parametrize("name", SAMPLES)
def test_saw_before_weld_before_paint_before_level(name):
    first = {}
    last = {}
    for s in work(name).steps:
        first.setdefault(s.stage, s.number)
        last[s.stage] = s.number
    assert last["saw"] < first["weld"] < first["finish"]
    assert last["weld"] < first["finish"] < first["set up"]
    if "level" in first:
        assert first["set up"] < first["level"]


@pytest.mark.parametrize("name", SAMPLES)
def test_a_step_for_every_assembly_that_is_welded_and_every_mark_told(name):
    w = work(name)
    told = [s.assembly for s in w.steps if s.assembly]
    # A stand of plates that only sheets are stitched to has no step of its own.
    assert told == [a.name for a in w.assemblies if a.name in told]
    assert {x.assembly for x in w.welds if not x.pitch} <= set(told)
    stitched = [s for s in w.steps if s.title.startswith("Stitch")]
    assert len(stitched) == bool([x for x in w.welds if x.pitch])
    dress = [s for s in w.steps if s.title.startswith("Dress")]
    last = w.assemblies[-1].name
    assert len(dress) == bool([x for x in w.welds if x.flush and not x.under and x.assembly == last])
    # What a later assembly lies on, or stands in the way of, is ground before it goes on.
    for a in w.assemblies:
        early = {x.mark for x in w.welds if x.assembly == a.name and (x.under or (x.flush and a.name != last))}
        ground = [s for s in w.steps if s.assembly == a.name and " Grind " in s.text]
        assert len(ground) == bool(early)
        under = {x.mark for x in w.welds if x.assembly == a.name and x.under}
        for mark in under:
            why = next(x.why for x in w.welds if x.mark == mark)
            told = ground[0].text.partition(" Grind flush what is covered next: ")[2]
            assert mark in told and why.removesuffix(" it") in told
    if dress and stitched:
        assert dress[0].number < stitched[0].number


def test_a_column_is_measured_and_its_cross_is_ground_before_it_stands_on_it():
    steps = work("grinder-column").steps
    cross, column, stand_ = (next(s for s in steps if s.assembly == n) for n in ("base cross", "column", "stand"))
    assert "flush before the next part goes on" in cross.text and "the shelf lies on it" in cross.text
    assert column.measure == "both plates 864 mm" and "from under the pads to the top 956 mm" in stand_.measure
    assert "column within 7.6 mm of square" in stand_.tolerance  # ISO 13920 class B: 9 mm in a metre, 840 mm high


def test_the_holes_of_a_head_plate_are_drilled_once():
    early = titles("grinder-column")
    assert "The machine's holes" not in early
    plates = next(s for s in work("grinder-column").steps if s.title == "Cut and drill the plates")
    assert "The machine's holes in them: mark" in plates.text and "every pair of the machine's holes" in plates.measure
    late = of_text(
        '[machine]\nkind = "grinder"\n[frame]\nlayout = "column"\n[mounting]\nmethod = "drill through the machine"\n'
    ).work().steps
    told = next(s for s in late if s.title == "Cut and drill the plates")
    assert "The machine's holes in them: the holes are drilled last" in told.text


@pytest.mark.parametrize("name", SAMPLES)
def test_cautions_stand_where_the_work_can_hurt(name):
    steps = work(name).steps
    arc = next(s for s in steps if s.stage == "weld")
    units = stand(name).brief.units
    assert cautions.fume(units) in arc.caution and cautions.zinc(units) in arc.caution
    assert cautions.SOLVENT in next(s for s in steps if s.title.startswith("Clean the ends")).caution
    if any(m.profile.closed for m in stand(name).frame.members):
        assert any(cautions.CLOSED in s.caution for s in steps)
    if any(s.title == "Bolt it down" for s in steps):
        assert cautions.MANUAL in words(steps)
    for s in steps:
        if s.title.startswith(("Set the machine", "Bring it")):
            assert cautions.LIFT in s.caution


def test_only_what_applies():
    assert "Level it and take the twist out" in titles("bench-lathe")
    assert "Level it and take the twist out" not in titles("drill-press")
    assert "Level the plate" in titles("surface-plate")
    assert "Bolt it down" not in titles("surface-plate")
    assert "Roll it to its place" in titles("saw-on-wheels") and "Bring it to its place" in titles("bench-lathe")
    assert "Stitch on the shelf" not in titles("bench-mill")
    assert "crush sleeves" not in words(work("grinder-column").steps)
    assert "crush sleeves" in words(work("bench-lathe").steps)


def test_what_comes_off_for_the_paint_goes_on_again_after_it():
    """The panels are tried before paint and screwed on after it; the tray is sealed then; what is stitched stays on."""
    for name, what in (("long-lathe-pedestals", "panels"), ("saw-on-wheels", "tray")):
        told = titles(name)
        fit, paint, back = (told.index(t) for t in (f"Fit the {what}", "Clean, mask and paint", f"Put the {what} back"))
        assert fit < paint < back < told.index("Screw the feet in")
    sealed = [s.text for n in ("long-lathe-pedestals", "saw-on-wheels") for s in work(n).steps if s.title.endswith(" back")]
    assert ["Seal" in t for t in sealed] == [False, True]
    assert not [t for t in titles("bench-lathe") if t.startswith(("Fit the", "Put the"))]
    b = stand("long-lathe-pedestals").brief
    bare = evaluate(replace(b, finish=replace(b.finish, paint="none"))).work().steps
    assert not [s for s in bare if s.title.endswith(" back")], "nothing came off"


@pytest.mark.parametrize("name", SAMPLES)
def test_feet_are_in_before_the_stand_comes_to_its_place(name):
    told = titles(name)
    place = next(k for k, t in enumerate(told) if t in ("Bring it to its place", "Roll it to its place"))
    assert told.index("Screw the feet in") < place < told.index("Feet on the floor")


def test_a_sleeve_that_could_fall_over_is_held_until_the_bolt_comes():
    (step,) = [s for s in work("bench-lathe").steps if "crush sleeves" in s.text]
    assert "a pin of the bolt's size stays in each" in step.text
    assert step.number < next(s.number for s in work("bench-lathe").steps if s.stage == "weld")


def test_machine_as_its_own_jig_comes_after_welding():
    late = of_text('[machine]\nkind = "mill"\n[mounting]\nmethod = "drill through the machine"\n').work().steps
    own = [s.title for s in late]
    assert "The machine's holes" not in own
    assert own.index("Stand") < own.index("The machine as its own jig") < own.index("Clean, mask and paint")


def test_inch_briefs_read_inches():
    text = words(work("bench-mill").steps)
    assert not re.search(r"\d ?(mm|kg|N m|l)\b(?! (for|on both))", text), text
    for wanted in ("1/8 in", "lb", "lbf ft", "in/ft", "US pt"):
        assert wanted in text


def test_feet_are_told_in_words():
    text = next(s.text for s in work("bench-lathe").steps if s.title == "Feet on the floor")
    assert "FL and FR 1.8 mm out, BL and BR 1.8 mm back in" in text


def test_heights_told_are_those_of_the_stand():
    told = next(s for s in work("bench-lathe").steps if s.assembly == "stand")
    assert "corner heights 760 mm" in told.measure and "heights alike within 3 mm" in told.tolerance


def test_words():
    assert marks(["W3", "W1", "W2", "W10", "W5"]) == "W1 to W3, W5, W10"
    assert marks(["W2", "W1"]) == "W1, W2"
    assert names(["a", "b", "c", "b"]) == "a, b and c"
    assert size("metric", 760.0) == "760 mm" and size("metric", 911.04) == "911 mm" and size("metric", 911.4) == "911.4 mm"
    assert within("metric", 0.46) == "0.5 mm" and within("metric", 11.64) == "11.6 mm"
    assert within("inch", 3.0) == "1/8 in" and within("inch", 0.3) == "0.012 in" and within("inch decimal", 3.0) == "0.118 in"


def test_corners_ground_for_an_angles_root_are_a_step():
    assert "grind the chamfers where the sheet of pieces asks for them" in words(work("bench-mill").steps)
    assert "grind the chamfers" not in words(work("bench-lathe").steps)


def test_every_side_is_told_what_the_assembly_sheet_allows_it():
    for name in ("long-lathe-pedestals", "surface-plate"):
        made = work(name)
        for a in made.assemblies:
            said = next((s.tolerance for s in made.steps if s.assembly == a.name and s.stage == "weld"), "")
            sides = [c for c in a.checks if c.kind == "over all"]
            for c in sides if said else ():
                side = c.text.removeprefix("over all, ")
                part = next(p for p in said.split("; ") if side in p or p.startswith("over all"))
                assert f" {within('metric', c.tolerance)} either way" in part
                assert not part.startswith("over all") or len({o.tolerance for o in sides}) == 1


def test_bevels_are_measured_where_ends_are_mitred():
    assert "a square on both ends" in words(work("saw-on-wheels").steps)
    assert "the bevel set to its angle" in words(work("surface-plate").steps)


def test_blocks_that_a_plate_rests_on_are_faced_once_all_is_welded():
    titles = [s.title for s in work("surface-plate").steps]
    assert titles.index("Face the blocks") > titles.index("Stitch on the shelf")
    assert titles.index("Face the blocks") < titles.index("Clean, mask and paint")
    assert "Face the blocks" not in words(work("saw-on-wheels").steps)  # its blocks are bolted through

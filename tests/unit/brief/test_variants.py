"""Variants are kept in the brief's file: they survive saving, hand editing, undoing and nonsense."""

from __future__ import annotations

from pathlib import Path

import pytest

from framecore import evaluate
from framecore.brief import load_source, read_brief, resolve, save_brief
from framecore.brief.variants import (
    LONGEST,
    MOST,
    STAND,
    as_variant,
    dropped,
    kept,
    present_name,
    renamed,
    taken,
    variant_names,
)

SAMPLE = Path(__file__).resolve().parents[3] / "samples" / "bench-lathe.toml"


def edited(source, edits):
    for key, value in edits.items():
        source = source.with_value(key, value)
    return source


@pytest.fixture
def source():
    return load_source(SAMPLE)


@pytest.fixture
def two(source):
    """As drawn is kept; the present stand is another one."""
    other = {"frame.lower_ring": 320, "braces.back": "diagonal", "feet.pad": None}
    return edited(edited(source, kept(source, "as drawn")), other)


def test_a_kept_stand_comes_back_whole(source, two):
    assert variant_names(two) == ("as drawn",)
    assert resolve(two).findings == resolve(source).findings
    back = edited(two, taken(two, "as drawn"))
    assert resolve(back).brief == resolve(source).brief == resolve(as_variant(two, "as drawn")).brief
    assert resolve(back).brief != resolve(two).brief
    mass = [evaluate(resolve(s).brief).figures["mass.frame"].value for s in (back, source, two)]
    assert mass[0] == mass[1] != mass[2]


def test_it_survives_saving_and_opening_and_comments_stay(two, tmp_path):
    path = tmp_path / "two.toml"
    save_brief(two, path)
    again = load_source(path)
    assert again.values == two.values and variant_names(again) == ("as drawn",)
    assert "# with chuck and tailstock" in path.read_text("utf-8") and '[variants."as drawn".frame]' in path.read_text("utf-8")
    back = edited(again, taken(again, "as drawn"))
    save_brief(back, path)
    assert resolve(load_source(path)).brief == resolve(load_source(SAMPLE)).brief
    assert "# measured, barefoot" in path.read_text("utf-8")


def test_edits_of_the_present_stand_leave_a_variant_alone_and_the_machine_is_shared(two):
    after = edited(two, {"frame.length": 1300, "machine.mass": 200})
    there = resolve(as_variant(after, "as drawn")).brief
    assert there.frame.length == 1200 and there.machine.mass == 200


def test_a_brief_without_variants_opens_as_before(source):
    assert variant_names(source) == () and present_name(source) == ""
    assert "variants" not in source.text()


def test_written_by_hand(source):
    text = source.text() + '\n[variants.low.frame]\nlayout = "four-post"\nlower_ring = "6 in"\n'
    reading = read_brief(text)
    assert not reading.findings and variant_names(reading.source) == ("low",)
    low = resolve(as_variant(reading.source, "low")).brief
    assert low.frame.lower_ring == pytest.approx(152.4)
    assert low.frame.shelf == "none" and low.frame.sections.legs == "SHS 50x50x3"  # left out is typical
    assert low.machine == reading.brief.machine


def test_names_are_changed_and_forgotten(two):
    other = edited(two, renamed(two, "as drawn", "first"))
    assert variant_names(other) == ("first",) and taken(other, "first") == taken(two, "as drawn")
    both = edited(other, kept(other, "b"))
    assert variant_names(edited(both, dropped(both, "first"))) == ("b",)
    none = edited(other, dropped(other, "first"))
    assert variant_names(none) == () and "variants" not in none.values
    with pytest.raises(ValueError, match="already"):
        renamed(edited(two, kept(two, "b")), "b", "as drawn")


def test_the_present_stand_knows_its_name(source):
    now = edited(source, kept(source, "a"))
    assert present_name(now) == "a"
    assert present_name(edited(now, {"frame.depth": 600})) == ""
    assert present_name(edited(now, {"machine.mass": 1})) == "a"


@pytest.mark.parametrize("name", ["", " ", " a", "a.b", 'a"b', "a\nb", "x" * (LONGEST + 1)])
def test_names_that_will_not_do(source, name):
    with pytest.raises(ValueError, match=r"name"):
        kept(source, name)


def test_no_more_than_can_be_looked_through(source):
    many = source
    for k in range(MOST):
        many = edited(many, kept(many, f"v{k}"))
    with pytest.raises(ValueError, match="drop one"):
        kept(many, "one more")
    assert kept(many, "v3")  # replacing is no more


BAD = {
    'variants = 3\n': ("variants", "must be a table"),
    '[variants]\nlow = 3\n': ("variants.low", "is a table"),
    '[variants."a.b".frame]\nlength = 900\n': ("variants.a.b", "no point"),
    '[variants.low]\nframe = 4\n': ("variants.low.frame", "must be a table"),
    '[variants.low.machine]\nmass = 3\n': ("variants.low.machine", "the stand's own tables"),
    '[variants.low.frame]\nlength = "banana"\n': ("variants.low.frame.length", "not a length"),
    '[variants.low.frame]\nlenght = 900\n': ("variants.low.frame.lenght", "did you mean"),
    '[variants.low.frame.sections]\nlegs = "SHS 1x1"\n': ("variants.low.frame.sections.legs", "SHS 1x1"),
    '[variants.low.frame.sections]\nlegz = "SHS 1x1"\n': ("variants.low.frame.sections.legz", "did you mean"),
}  # fmt: skip


@pytest.mark.parametrize("text", BAD)
def test_nonsense_gets_one_sentence_and_the_stand_of_the_brief_stays(source, text):
    field, words = BAD[text]
    head = text if text.startswith("variants =") else ""
    reading = read_brief(head + source.text() + ("" if head else "\n" + text))
    assert len(reading.findings) == 1, reading.findings
    (finding,) = reading.findings
    assert finding.field == field and words in finding.message and finding.severity == "look"
    assert finding.message.count("\n") == 0 and finding.message.rstrip().endswith((".", "?"))
    assert reading.brief == resolve(source).brief


def test_findings_of_variants_follow_units_and_what_is_typed(source):
    bad = edited(source, {"variants.low": {"frame": {"length": 90_000}}})
    assert len(resolve(bad).findings) == len(resolve(bad).findings) == 1
    good = edited(bad, {"variants.low": {"frame": {"length": 900}}})
    assert not resolve(good).findings and len(resolve(bad).findings) == 1


def test_a_variant_has_the_tables_of_the_stand():
    from framecore.brief.fields import FIELDS

    heads = {f.path.split(".")[0] for f in FIELDS}
    assert set(STAND) <= heads and not {"machine", "operator", "floor", "steel", "limits"} & set(STAND)

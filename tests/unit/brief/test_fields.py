"""The list of keys and its reference page."""

from __future__ import annotations

from framecore.brief import read_brief
from framecore.brief.fields import FIELDS, default_for
from framecore.brief.reference import reference_text


def test_fields_reach_nested_tables_once() -> None:
    paths = [f.path for f in FIELDS]
    assert len(paths) == len(set(paths))
    assert {"title", "frame.height", "frame.sections.legs"} <= set(paths)


def test_a_workbench_carries_no_machine() -> None:
    assert default_for("machine.mass", "workbench") == 0


def test_the_reference_names_every_key() -> None:
    text = reference_text()
    for field in FIELDS:
        assert f"`{field.path.rpartition('.')[2]}`" in text


def test_a_layout_has_typical_values_of_its_own_and_what_is_given_lies_over_them():
    assert default_for("frame.sections.legs", "surface plate", "tripod") == "SHS 60x60x3"
    assert default_for("frame.sections.legs", "surface plate", "four-post") == "SHS 50x50x3"
    text = 'format = 1\n[machine]\nkind = "surface plate"\n[frame]\nlayout = "tripod"\nsections = {bearers = "SHS 40x40x3"}\n'
    frame = read_brief(text).brief.frame
    assert (frame.sections.legs, frame.sections.bearers) == ("SHS 60x60x3", "SHS 40x40x3")
    assert frame.length == default_for("frame.length", "surface plate", "tripod")

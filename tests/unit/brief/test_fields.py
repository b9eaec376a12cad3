"""The list of keys and its reference page."""

from __future__ import annotations

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

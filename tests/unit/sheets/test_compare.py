"""The side-by-side sheet says of both stands what their figures say."""

from __future__ import annotations

import dataclasses
from pathlib import Path

import pytest

from framecore import evaluate, load_brief
from framecore.brief.differences import differences
from framecore.brief.fields import FIELDS
from framecore.figures.words import quantity
from framecore.search.space import with_value
from framecore.sheets.drawing.model import Line, Text
from framecore.sheets.drawing.pens import text_width
from framecore.sheets.lists.compare import NAMES, compare_sheets, told_apart
from framecore.sheets.paper import SIZES, drawing_space

SAMPLES = Path(__file__).resolve().parents[3] / "samples"
CHANGES = {"frame.sections.legs": "SHS 70x70x3", "braces.back": "diagonal", "frame.lower_ring": 320.0, "frame.height": 850.0}


@pytest.fixture(scope="module")
def both():
    before = load_brief(SAMPLES / "bench-lathe.toml")
    after = before
    for key, value in CHANGES.items():
        after = with_value(after, key, value)
    return evaluate(after), evaluate(before)


def texts(sheets):
    return [p for s in sheets for p in s.primitives if isinstance(p, Text)]


@pytest.mark.parametrize("paper", SIZES)
def test_every_row_has_both_values_and_their_difference(both, paper):
    stand, other = both
    sheets = compare_sheets(stand, other, paper=paper)
    assert sheets[0].size == SIZES[paper]
    found = texts(sheets)
    rows = told_apart(stand, other)
    assert {"mass.frame", "steel.cost", "sway.stiffness_x", "bed.jack_share"} <= {a.id for a, _ in rows}
    said = " ".join(t.text for t in found)
    for a, b in rows:
        assert a.value == stand.figures[a.id].value and b.value == other.figures[b.id].value
        (label,) = [t for t in found if t.text == a.label]
        beside = [t.text for t in found if t.at[1] == label.at[1] and t is not label and t.align == "right"]
        for k, figure in enumerate((a, b)):
            assert quantity(figure.value, figure.unit, "metric").startswith(beside[k]), a.id
        change = a.value - b.value
        if abs(change) > 1e-3 * abs(b.value):
            assert beside[2][0] == ("+" if change > 0 else "−"), a.id
            assert quantity(abs(change), a.unit, "metric").startswith(beside[2][1:]), a.id
        else:
            assert beside[2] == "same"
    for name in NAMES:
        assert name in said


def test_a_verdict_that_turned_bad_in_either_is_listed(both):
    stand, other = both
    listed = {(a or b).id for a, b in told_apart(stand, other)}
    for s in both:
        assert {f.id for f in s.figures.values() if f.verdict in ("look", "stop")} <= listed
    assert listed == {(a or b).id for a, b in told_apart(other, stand)}


def test_a_figure_that_one_stand_has_not_is_told_where_it_is_bad():
    one, two = (evaluate(load_brief(SAMPLES / f"{n}.toml")) for n in ("surface-plate", "drill-press"))
    assert "modes.clear" not in one.figures and two.figures["modes.clear"].verdict == "stop"
    assert (None, "modes.clear") in [(a and a.id, b and b.id) for a, b in told_apart(one, two)]
    assert texts(compare_sheets(one, two, paper="A3"))


def test_what_differs_in_the_brief_is_exactly_that(both):
    stand, other = both
    found = differences(stand.brief, other.brief)
    assert {d.path for d in found} == set(CHANGES)
    said = {t.text for t in texts(compare_sheets(stand, other, paper="A3"))}
    for d in found:
        assert {d.label, d.one, d.other} <= said, d
    assert {d.other for d in found if d.path == "frame.height"} == {"from elbow"}
    assert any("Nothing" in t.text for t in texts(compare_sheets(other, other, paper="A3")))


def test_every_key_can_differ_and_is_told_in_words():
    one = load_brief(SAMPLES / "bench-lathe.toml")
    two = load_brief(SAMPLES / "long-lathe-pedestals.toml")
    found = {d.path: d for d in differences(one, dataclasses.replace(two, units="inch"))}
    assert len(found) > 30 and set(found) <= {f.path for f in FIELDS}
    assert all(d.one != "" and d.other != "" and "{" not in d.one for d in found.values())
    assert found["units"].other == "inch"


def test_pictures_have_one_scale_and_stand_on_one_line(both):
    sheet = compare_sheets(*both, paper="A3")[0]
    one, two = sheet.views
    assert one.scale == two.scale and [one.name, two.name] == list(NAMES)
    middle = (one.box[2] + two.box[0]) / 2
    inked = [p for p in sheet.primitives if isinstance(p, Line) and p.layer == "visible"]
    lines = [p for p in inked if min(q[1] for q in p.points) >= one.box[1]]
    left = [q for p in lines for q in p.points if q[0] < middle and q[0] > one.box[0]]
    right = [q for p in lines for q in p.points if q[0] > middle and q[0] < two.box[2]]
    assert min(q[1] for q in left) == pytest.approx(min(q[1] for q in right), abs=1e-6)
    # The present stand is 50 mm higher.
    high = (max(q[1] for q in left) - max(q[1] for q in right)) / one.scale
    assert 30 < high < 60


@pytest.mark.parametrize("names", [NAMES, ("what was drawn first of all and then", "the other one with a shelf that is low")])
@pytest.mark.parametrize("paper", SIZES)
def test_no_text_lies_on_another_or_off_the_page(both, paper, names):
    for sheet in compare_sheets(*both, names, paper=paper):
        x0, y0, x1, y1 = drawing_space(paper)
        boxes = []
        for t in [p for p in sheet.primitives if isinstance(p, Text) and p.text.strip()]:
            wide = text_width(t.text, t.height, t.bold)
            left = t.at[0] - {"left": 0.0, "centre": wide / 2, "right": wide}[t.align]
            boxes.append((left, t.at[1], left + wide, t.at[1] + t.height, t.text))
            assert x0 - 12 <= left and left + wide <= x1 + 12 and y0 - 12 <= t.at[1] <= y1 + 12, t.text
        for k, a in enumerate(boxes):
            for b in boxes[k + 1 :]:
                apart = a[2] <= b[0] + 0.2 or b[2] <= a[0] + 0.2 or a[3] <= b[1] + 0.1 or b[3] <= a[1] + 0.1
                assert apart, (a, b)

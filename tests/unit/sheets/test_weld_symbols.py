"""Weld symbols: what stands where, clear of itself, in both ways of writing."""

from __future__ import annotations

import math

import pytest

from framecore.sheets import overlaps
from framecore.sheets.drawing.dims import text_box
from framecore.sheets.drawing.model import Arc, Line, Sheet, Text
from framecore.sheets.welds.weld_symbols import AWS, ISO, WeldSign, weld_symbol

KINDS = ("fillet", "flare-bevel", "butt", "corner", "edge", "plug")
H = 2.5


def words(mm):
    return f"{round(mm, 1):g}"


def drawn(system=ISO, **more):
    return weld_symbol(WeldSign(**({"kind": "fillet", "size": 3.0, "process": "TIG"} | more)), system, (50.0, 40.0), words)


def texts(sign):
    return [p.text for p in sign.primitives if isinstance(p, Text)]


def reference(sign):
    """The continuous level line from the joint of the lines."""
    return next(p for p in sign.primitives if isinstance(p, Line) and p.points[0] == (50.0, 40.0) and p.points[1][1] == 40.0)


@pytest.mark.parametrize("other", [False, True])
@pytest.mark.parametrize("flush", [False, True])
@pytest.mark.parametrize("stitch", [0.0, 25.0])
@pytest.mark.parametrize("system", [ISO, AWS])
@pytest.mark.parametrize("kind", KINDS)
def test_words_are_clear_and_the_box_holds_everything(kind, system, stitch, flush, other):
    sign = drawn(system, kind=kind, stitch=stitch, pitch=150.0, count=5, flush=flush, other_side=other, all_round=True)
    assert overlaps(Sheet(title="", size=(200.0, 100.0), primitives=sign.primitives)) == ()
    x0, y0, x1, y1 = sign.box
    for p in sign.primitives:
        if isinstance(p, Line):
            assert all(x0 - 0.5 <= x <= x1 + 0.5 and y0 - 0.5 <= y <= y1 + 0.5 for x, y in p.points)
        elif isinstance(p, Text):
            a, b, c, d = text_box(p)
            assert x0 <= a + 0.5 and y0 <= b + 0.6 and c <= x1 + 0.5 and d <= y1 + 0.5
    # No lettering lies on a stroke of the symbol or on a line.
    for p in sign.primitives:
        if not isinstance(p, Text):
            continue
        a, b, c, d = p.at[0] if p.align == "left" else text_box(p)[0], p.at[1], text_box(p)[2], p.at[1] + p.height
        for line in (q for q in sign.primitives if isinstance(q, Line)):
            for (u, v), (w, z) in zip(line.points, line.points[1:], strict=False):
                for k in range(21):
                    x, y = u + (w - u) * k / 20, v + (z - v) * k / 20
                    assert not (a + 0.05 < x < c - 0.05 and b + 0.05 < y < d - 0.05), f"{p.text} is crossed"


@pytest.mark.parametrize("kind", KINDS)
def test_iso_has_a_dashed_line_and_the_symbol_on_the_side_meant(kind):
    for other in (False, True):
        sign = drawn(kind=kind, other_side=other, process="")
        dashed = [p for p in sign.primitives if isinstance(p, Line) and p.layer == "hidden"]
        assert len(dashed) == 1 and dashed[0].points[0][1] == dashed[0].points[1][1] < 40.0
        base = dashed[0].points[0][1] if other else 40.0
        size = next(p for p in sign.primitives if isinstance(p, Text))
        assert (size.at[1] > base) is not other, "above the line it stands on, below the dashed one"


@pytest.mark.parametrize("kind", KINDS)
def test_aws_has_one_line_and_the_arrows_side_hangs_below(kind):
    for other in (False, True):
        sign = drawn(AWS, kind=kind, other_side=other, process="")
        assert not any(isinstance(p, Line) and p.layer == "hidden" for p in sign.primitives)
        size = next(p for p in sign.primitives if isinstance(p, Text))
        assert (size.at[1] > 40.0) is other


def test_the_ring_lies_on_the_joint_of_the_lines_only_when_all_round():
    assert not any(isinstance(p, Arc) for p in drawn().primitives)
    (ring,) = (p for p in drawn(all_round=True).primitives if isinstance(p, Arc))
    assert ring.centre == (50.0, 40.0) == reference(drawn()).points[0]


def test_the_arrow_touches_the_tip_asked_for():
    sign = weld_symbol(WeldSign(kind="fillet", size=3.0), ISO, (50.0, 40.0), words, tip=(30.0, 20.0))
    heads = [p for p in sign.primitives if isinstance(p, Line) and p.closed and p.fill == 0.0]
    assert [h.points[0] for h in heads] == [(30.0, 20.0)]
    line = next(p for p in sign.primitives if isinstance(p, Line) and p.points == ((30.0, 20.0), (50.0, 40.0)))
    assert line.layer == "dimension"
    assert sign.box[0] == 30.0 and sign.box[1] == 20.0


def test_whole_penetration_and_whole_seams_say_nothing():
    assert texts(drawn(kind="butt", size=0.0, process="")) == []
    assert texts(drawn(process="")) == ["z3"]


def test_different_numbers_of_stitches_leave_the_number_out():
    assert "25(125)" in texts(drawn(stitch=25.0, pitch=150.0, count=0))
    assert "5×25(125)" in texts(drawn(stitch=25.0, pitch=150.0, count=5))


def test_proportions_follow_the_lettering():
    small = weld_symbol(WeldSign(kind="fillet", size=3.0), ISO, (0.0, 0.0), words, height=2.0)
    large = weld_symbol(WeldSign(kind="fillet", size=3.0), ISO, (0.0, 0.0), words, height=5.0)
    assert [v * 2.5 for v in small.box] == pytest.approx(list(large.box))
    assert math.dist(*reference(drawn()).points) > 4 * H


def test_an_unknown_kind_is_refused():
    with pytest.raises(KeyError):
        drawn(kind="rivet")

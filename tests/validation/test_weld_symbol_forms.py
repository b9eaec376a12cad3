"""Weld symbols: forms and letters of ISO 2553, ISO 4063 and AWS A2.4.

What the standards print about the form of a symbol and where its figures stand, from memory of ISO 2553:2019 (system A),
ISO 4063 and AWS A2.4:2020 with the letters of AWS A3.0; the drawn strokes are measured back.
"""

from __future__ import annotations

import math

import pytest

from framecore.sheets.drawing.model import Arc, Line, Text
from framecore.sheets.welds.weld_symbols import AWS, ISO, WeldSign, weld_symbol
from framecore.units import format_length
from tests.validation.record import agree

H = 2.5
SOURCE = "ISO 2553:2019 system A and AWS A2.4:2020, from memory"
# ISO 4063 numbers and AWS A3.0 letters of the processes, from memory.
PROCESSES = {
    "solid wire and gas": ("135", "GMAW"), "self-shielded wire": ("114", "FCAW-S"), "stick": ("111", "SMAW"),
    "TIG": ("141", "GTAW"),
}  # fmt: skip


def millimetres(mm):
    return f"{round(mm, 1):g}"


def inches(mm):
    return format_length(mm, "inch", unit=False)


def strokes(system, words=millimetres, **more):
    return weld_symbol(WeldSign(**more), system, (0.0, 0.0), words, height=H).primitives


def texts(found):
    return [p.text for p in found if isinstance(p, Text)]


def shape(found):
    """The strokes of the elementary symbol: neither arrow nor reference nor tail."""
    lines = [p for p in found if isinstance(p, Line) and p.fill is None and p.layer != "hidden"]
    return [p for p in lines if (0.0, 0.0) not in p.points and not (len(p.points) == 3 and p.points[1][1] == 0.0)]


@pytest.mark.parametrize("system", [ISO, AWS])
def test_fillet_is_a_right_triangle_with_its_upright_leg_on_the_left(system):
    (triangle,) = shape(strokes(system, kind="fillet", size=3.0))
    foot, top, toe = triangle.points
    assert foot[0] == top[0] < toe[0], "the upright leg is on the left, whichever side is welded"
    assert foot[1] == toe[1] == 0.0, "it stands on the reference line"
    slope = math.degrees(math.atan2(abs(top[1]), toe[0] - foot[0]))
    agree(slope, 45.0, abs=0.5, what=f"slope of the fillet symbol, {system}, degrees", source=SOURCE)


@pytest.mark.parametrize("system", [ISO, AWS])
def test_square_butt_is_two_and_edge_three_upright_lines(system):
    for kind, count in (("butt", 2), ("edge", 3)):
        bars = shape(strokes(system, kind=kind, size=0.0))
        agree(float(len(bars)), float(count), what=f"upright lines of the {kind} symbol, {system}", source=SOURCE)
        assert all(b.points[0][0] == b.points[1][0] for b in bars)
        assert len({round(abs(b.points[1][1] - b.points[0][1]), 9) for b in bars}) == 1


@pytest.mark.parametrize("system", [ISO, AWS])
def test_flare_bevel_is_an_upright_and_a_quarter_round_that_leaves_the_line_upright(system):
    found = strokes(system, kind="flare-bevel", size=2.0)
    (upright,) = shape(found)
    (arc,) = (p for p in found if isinstance(p, Arc))
    turn = math.degrees(arc.end - arc.start)
    agree(turn, 90.0, abs=0.5, what=f"turn of the flare-bevel's arc, {system}, degrees", source=SOURCE)
    nearest = arc.centre[0] - arc.radius
    assert arc.centre[1] == 0.0 and nearest > upright.points[0][0], "the round is on the right, nearest at the line"


@pytest.mark.parametrize("system", [ISO, AWS])
def test_plug_is_a_box_open_to_the_reference_line(system):
    (box,) = shape(strokes(system, kind="plug", size=10.0))
    assert len(box.points) == 4 and box.points[0][1] == box.points[-1][1] == 0.0 and not box.closed


def test_arrow_side_is_the_continuous_line_of_iso_and_below_the_line_of_aws():
    (iso,), (aws,) = shape(strokes(ISO, kind="fillet", size=3.0)), shape(strokes(AWS, kind="fillet", size=3.0))
    assert iso.points[1][1] > 0.0 > aws.points[1][1]
    (other,) = shape(strokes(AWS, kind="fillet", size=3.0, other_side=True))
    assert other.points[1][1] > 0.0
    found = strokes(ISO, kind="fillet", size=3.0, other_side=True)
    dashed = next(p for p in found if isinstance(p, Line) and p.layer == "hidden")
    (hung,) = shape(found)
    assert hung.points[0][1] == dashed.points[0][1], "the other side stands on the dashed line"


@pytest.mark.parametrize("process", PROCESSES)
def test_tail_names_the_process(process):
    number, letters = PROCESSES[process]
    assert number in texts(strokes(ISO, kind="fillet", size=3.0, process=process))
    assert letters in texts(strokes(AWS, kind="fillet", size=3.0, process=process))
    tail = next(
        p for p in strokes(ISO, kind="fillet", size=3.0, process=process)
        if isinstance(p, Line) and len(p.points) == 3 and p.points[1][1] == 0.0 and p.fill is None and p.points[0][1] > 0
    )  # fmt: skip
    assert tail.points[0][0] == tail.points[2][0] > tail.points[1][0], "the fork opens away from the line"


# Printed forms of both standards: leg z, throat in brackets, number × length (gap), length-pitch; from memory.
@pytest.mark.parametrize(
    ("system", "words", "sign", "left", "right"),
    [
        (ISO, millimetres, {"kind": "fillet", "size": 3.0}, "z3", None),
        (ISO, millimetres, {"kind": "flare-bevel", "size": 2.0}, "s2", None),
        (ISO, millimetres, {"kind": "fillet", "size": 5.0, "stitch": 50.0, "pitch": 150.0, "count": 3}, "z5", "3×50(100)"),
        (AWS, inches, {"kind": "fillet", "size": 6.35}, "1/4", None),
        (AWS, inches, {"kind": "flare-bevel", "size": 3.175}, "(1/8)", None),
        (AWS, inches, {"kind": "fillet", "size": 6.35, "stitch": 50.8, "pitch": 127.0, "count": 3}, "1/4", "2-5"),
    ],
)
def test_size_is_left_and_length_right_of_the_symbol(system, words, sign, left, right):
    found = strokes(system, words, **sign)
    assert texts(found) == [t for t in (left, right) if t]
    middle = shape(found)[0].points[0][0]
    for text in (p for p in found if isinstance(p, Text)):
        assert (text.at[0] < middle) is (text.text == left)


def test_stitches_are_clear_between_by_iso_and_from_centre_to_centre_by_aws():
    sign = {"kind": "fillet", "size": 3.0, "stitch": 25.0, "pitch": 150.0, "count": 4}
    gap = float(texts(strokes(ISO, **sign))[1].split("(")[1].rstrip(")"))
    pitch = float(texts(strokes(AWS, **sign))[1].split("-")[1])
    agree(gap, 150.0 - 25.0, abs=0.5, what="clear between stitches in the ISO symbol, mm", source=SOURCE)
    agree(pitch, 150.0, abs=0.5, what="centre to centre in the AWS symbol, mm", source=SOURCE)


def test_flush_is_a_straight_bar_and_aws_adds_the_letter_of_grinding():
    bare, barred = (shape(strokes(ISO, kind="butt", size=0.0, flush=f)) for f in (False, True))
    (bar,) = [b for b in barred if b not in bare]
    assert bar.points[0][1] == bar.points[1][1] > max(p[1] for b in bare for p in b.points)
    assert "G" in texts(strokes(AWS, kind="butt", size=0.0, flush=True))
    assert "G" not in texts(strokes(ISO, kind="butt", size=0.0, flush=True))


def test_all_round_is_a_circle_where_arrow_and_reference_line_join():
    for system in (ISO, AWS):
        found = strokes(system, kind="fillet", size=3.0, all_round=True)
        (ring,) = (p for p in found if isinstance(p, Arc))
        assert ring.centre == (0.0, 0.0) and ring.end - ring.start == pytest.approx(2 * math.pi)

"""The answer of one round: stage, turns in words, what is read next, notes, and a round taken out."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from framecore import evaluate, load_brief
from framecore.errors import BriefError, LayoutError, UnitError
from framecore.seat.answer import (
    BEARING,
    DONE,
    ELSEWHERE,
    LEVEL,
    READ,
    TWIST,
    Question,
    answer,
    foot_named,
    hand_of,
    seen,
    turns_in_words,
)
from framecore.seat.influence import FOOT, influence
from framecore.seat.learning import Round, learn, without
from framecore.seat.level import Wanted, as_round
from framecore.seat.readings import Level, Tilt, parse_station, parse_tilt
from framecore.seat.record_file import read_rounds, record_path, write_rounds
from framecore.seat.turning_test import TurningTest, taper_of_twist

SAMPLES = Path(__file__).parents[3] / "samples"
FINE = Level(division=0.02)
AXIS = 310.0  # mm, spindle above the feet of the sample
WANTED = Wanted(tolerance=0.01)
BAR = TurningTest(near=25.0, free=25.008, between=75.0, overhang=95.0, bar=25.0, within=0.001)


@cache
def seats(name="bench-lathe", seating="bolted down"):
    brief = load_brief(SAMPLES / f"{name}.toml")
    jack = 40.0 if "jacking" in seating else 0.0
    stand = evaluate(replace(brief, mounting=replace(brief.mounting, seating=seating, jack=jack)))
    kind = FOOT if stand.strength.bed is None else ""
    return tuple(influence(stand.brief, stand.frame, stand.strength, k) for k in (kind, FOOT))


def ask(*, seating="bolted down", rounds=(), each=1, wanted=WANTED, name="bench-lathe", **told):
    screws, feet = seats(name, seating)
    return answer(Question(wanted=wanted, level=FINE, **told), screws, feet, AXIS, rounds, each)


def read(left, right):
    length = seats()[0].length
    return tuple(parse_station(f"{n}: {t}", FINE, length) for n, t in (("left", left), ("right", right)))


def tilt(text):
    return parse_tilt(text, FINE)


def test_the_stages_come_in_order():
    stations = read("+2 div, -1 div", "+5 div, +2 div")
    cases = (
        ({"loose": ("foot BL",), "stations": stations}, BEARING, 1), ({"across": tilt("3 mm/m")}, LEVEL, 2),
        ({"along": tilt("-3 mm/m"), "stations": stations}, LEVEL, 2), ({"across": tilt("0.3 mm/m")}, READ, 3),
        ({"stations": stations}, TWIST, 3), ({"stations": read("1 div", "1 div")}, DONE, 3),
        ({"stations": read("-40 div", "+40 div")}, ELSEWHERE, 3),
    )  # fmt: skip
    for told, stage, step in cases:
        found = ask(**told)
        assert (found.stage, found.step) == (stage, step), told
        assert bool(found.turns) == (stage in (BEARING, LEVEL, TWIST))
        assert bool(found.causes) == (stage == ELSEWHERE)
        assert found.headline and all(t.move.name in found.headline for t in found.turns)


def test_feet_that_were_tried_do_not_hang_by_the_model():
    screws, feet = seats()
    hanging = replace(feet, open=np.array([False, True, False, False]))
    by_model = answer(Question(wanted=WANTED, across=tilt("0.1 mm/m")), hanging, hanging, AXIS)
    tried = answer(Question(wanted=WANTED, across=tilt("0.1 mm/m"), tried=True), hanging, hanging, AXIS)
    assert (by_model.stage, tried.stage) == (BEARING, READ)
    loose = Question(wanted=WANTED, loose=("foot FL",), tried=True)
    assert [t.move.name for t in answer(loose, hanging, hanging, AXIS).turns] == ["foot FL"] and screws.kind == FOOT


@pytest.mark.parametrize(
    ("turns", "words"),
    [
        (0.25, "a quarter turn"), (0.5, "half a turn"), (0.75, "three quarters of a turn"), (1.0, "1 turn"),
        (2.0, "2 turns"), (1.25, "1 turn and a quarter turn"), (1 / 6, "1 flat"), (2 / 6, "2 flats"), (2.5 / 6, "2½ flats"),
        (1 / 18, "⅓ flat"), (0.059, "⅓ flat"), (0.025, "⅛ flat"), (1 + 1 / 6, "1 turn and 1 flat"), (0.99, "1 turn"),
        (1.99, "2 turns"), (0.002, "1°"), (1.75 / 6, "1¾ flats"),
    ],
)  # fmt: skip
def test_turns_as_a_hand_counts_them(turns, words):
    assert turns_in_words(turns) == words


def test_words_of_a_turn_stay_near_its_figure():
    parts = {"⅛": 0.125, "¼": 0.25, "⅓": 1 / 3, "½": 0.5, "⅔": 2 / 3, "¾": 0.75, "⅞": 0.875}
    for k in range(12, 355):
        words = turns_in_words(k / 360)
        if "flat" in words:
            number = words.split()[0]
            flats = sum(parts.get(c) or float(c) for c in number)
            assert abs(60 * flats - k) <= 60 / 12 + 1e-9, (k, words)  # half of the widest gap, from a third to a half
        else:
            quarter = {"a quarter turn": 90, "half a turn": 180, "three quarters of a turn": 270}[words]
            assert abs(quarter - k) <= 2


def test_a_foot_and_a_jacking_screw_go_opposite_ways():
    assert hand_of(FOOT, True) == hand_of("screw", False) == "clockwise seen from above"
    assert hand_of(FOOT, False) == hand_of("screw", True) == "anticlockwise seen from above"
    assert hand_of("shim", True) == ""


def test_a_turn_says_its_figures():
    (turn,) = ask(stations=read("+2 div, -1 div", "+5 div, +2 div")).turns
    assert turn.up and turn.short == f"up {turn.move.mm:.2f} mm · {turn.move.degrees:.0f}° · {turns_in_words(turn.move.turns)}"
    assert turn.words == f"{turns_in_words(turn.move.turns)}, clockwise seen from above" and turn.note == ""
    inch = ask(stations=read("+2 div", "+5 div"), wanted=replace(WANTED, inch=True)).turns[0]
    assert f"up {inch.move.mm / 25.4 * 1000:.1f} thou" in inch.short
    wanted = replace(WANTED, preload=3000.0)
    jack = ask(stations=read("+2 div", "+6 div"), seating="jacking screws", each=2, wanted=wanted).turns[0]
    assert "both screws there alike" in jack.words and ("anticlockwise" in jack.words) is jack.up
    lone = ask(stations=read("+2 div", "+6 div"), seating="hollow jacking screws", wanted=wanted).turns[0]
    assert "both" not in lone.words


def test_a_move_too_small_for_a_hand_says_so():
    tiny = ask(stations=read("+1 div", "+1.6 div"), wanted=replace(WANTED, tolerance=0.001)).turns
    assert tiny and all((t.move.degrees < 5) is bool(t.note) for t in tiny) and any(t.note for t in tiny)


def test_what_is_read_next_counts_in_the_levels_own_error():
    found = ask(stations=read("+2 div, -1 div", "+5 div, +2 div"))
    assert found.zero == pytest.approx((0.03, 0.0))
    for e in found.expected:
        assert (e.laid - e.roll, e.turned - e.roll) == pytest.approx((0.03, -0.03))
    assert [e.name for e in found.expected] == ["left", "right"]
    one_way = ask(stations=read("+2 div", "+5 div"))
    assert one_way.zero is None and all(e.laid == e.turned == e.roll for e in one_way.expected)
    both = ask(across=tilt("3 mm/m"), along=tilt("-2 mm/m"))
    assert [(e.name, e.roll) for e in both.expected] == [("across", pytest.approx(0.0)), ("along", 0.0)]


def test_the_next_reading_beside_what_was_told():
    found = ask(stations=read("+2 div, -1 div", "+5 div, +2 div"))
    left, right = found.expected
    now = (
        parse_station(f"left: {left.roll + 0.004:.4f} mm/m", FINE, 880.0),
        parse_station(f"right: {right.roll - 0.03:.4f} mm/m", FINE, 880.0),
    )
    a, b = seen(found, now)
    assert (a.off, b.off) == (pytest.approx(0.004, abs=1e-4), pytest.approx(-0.03, abs=1e-4))
    assert a.well and not b.well
    assert seen(found, now[1:]) == (b,)


def test_notes():
    assert ask(stations=read("1 div", "1.05 div")).note("below")
    assert not ask(stations=read("+2 div", "+5 div")).note("below")
    assert ask(stations=read("+2 div, -1 div", "+9 div, +2 div")).note("wipe")
    assert not ask(stations=read("+2 div, -1 div", "+5 div, +2 div")).note("wipe")
    assert ask(stations=read("+2 div", "+5 div"), wanted=replace(WANTED, tolerance=0.003)).note("coarse")
    assert not ask(stations=read("+2 div", "+5 div")).note("coarse")
    assert "6.0 diameters" in ask(test=replace(BAR, overhang=150.0)).note("slender") and not ask(test=BAR).note("slender")
    assert ask(test=BAR).note("assumed") and not ask(test=BAR, ways=115.0).note("assumed")
    assert "agrees" in ask(stations=read("+2 div", "+5 div"), test=BAR).note("differ")


def test_the_collars_after_the_moves():
    found = ask(test=BAR, ways=115.0, wanted=replace(WANTED, tolerance=0.02))
    assert found.turned.low < found.turned.twist < found.turned.high
    left = taper_of_twist(found.advice.twist_after[0], (115.0 + AXIS) / 2, 75.0, seats()[0].length)
    assert found.stage == TWIST and found.taper_after == pytest.approx(found.turned.bending + left)
    assert ask(stations=read("+2 div", "+5 div")).taper_after is None


def test_no_bed_no_twist():
    found = ask(name="surface-plate", across=tilt("0.3 mm/m"))
    assert found.stage == DONE and "no screw twists a bed" in found.headline
    with pytest.raises(LayoutError, match="no two rows"):
        ask(name="surface-plate", stations=read("1 div", "3 div"))
    with pytest.raises(LayoutError, match="no two rows"):
        ask(name="surface-plate", test=BAR)


def test_a_question_that_asks_nothing():
    assert Question(wanted=WANTED).empty and Question(wanted=WANTED, tried=True).empty
    assert not Question(wanted=WANTED, along=Tilt(value=0.0, within=0.0, typed="0 mm/m")).empty


def test_feet_by_their_short_names():
    names = seats()[1].names
    assert foot_named("fl", names) == foot_named(" Foot FL", names) == "foot FL"
    with pytest.raises(UnitError, match="allowed: FL, FR, BL, BR"):
        foot_named("FX", names)


def made(*moves, places=(0.0, 880.0)):
    return [
        Round(kind="foot", places=places, readings=(f"r{k}",), twist=(t,), within=(0.004,), moves={"foot FR": mm},
              change=(-mm,), when=f"day {k}")
        for k, (t, mm) in enumerate(moves)
    ]  # fmt: skip


def test_a_round_taken_out_leaves_what_the_others_taught():
    # The bed answers by 0.8 throughout; the middle round was read wrongly.
    rounds = made((0.10, 0.05), (0.30, 0.04), (0.10 - 0.8 * 0.09, 0.0))
    assert learn(without(rounds, 1, turned=True)).share == pytest.approx(0.8, abs=0.03)
    assert without(rounds, 1, turned=True)[0].moves == {"foot FR": pytest.approx(0.09)}
    # Nothing was turned: its moves go with it.
    idle = made((0.10, 0.05), (0.10 - 0.8 * 0.05, 0.04), (0.10 - 0.8 * 0.05, 0.0))
    assert learn(without(idle, 1, turned=False)).share == pytest.approx(0.8, abs=0.03)
    assert without(idle, 1, turned=False)[0] == idle[0]
    assert without(rounds, 0, turned=True) == tuple(rounds[1:])


def test_a_round_taken_out_at_other_stations_teaches_nothing_wrong():
    rounds = [*made((0.1, 0.05)), *made((0.2, 0.04), places=(0.0, 440.0)), *made((0.03, 0.0))]
    assert learn(without(rounds, 1, turned=True)).share == pytest.approx(1.0)


def test_the_record_on_disk(tmp_path):
    path = record_path(tmp_path / "a.toml")
    assert path.name == "a.level.toml" and read_rounds(path) == ()
    rounds = tuple(made((0.1, 0.05), (0.06, 0.0)))
    write_rounds(path, rounds, "A stand")
    assert read_rounds(path) == rounds and [p.name for p in tmp_path.iterdir()] == ["a.level.toml"]
    path.write_bytes(b"\xff\xfe")
    with pytest.raises(BriefError, match="move it away"):
        read_rounds(path)
    with pytest.raises(OSError, match="No such file"):
        write_rounds(tmp_path / "none" / "a.level.toml", rounds, "A stand")


def test_a_round_notes_when_it_was():
    found = ask(stations=read("+2 div", "+5 div"))
    kept = as_round(seats()[0], found.advice, found.question.stations, "2026-05-04 10:00")
    assert kept.when == "2026-05-04 10:00" and kept.moves == {found.turns[0].move.name: found.turns[0].move.mm}

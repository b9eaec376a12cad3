"""Readings, stages and what earlier rounds teach."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from framecore import evaluate, load_brief
from framecore.errors import BriefError, LayoutError, UnitError
from framecore.seat.influence import influence
from framecore.seat.learning import Learned, Round, learn, read_record, record_text
from framecore.seat.level import Wanted, bearing, level_enough, twist_of, untwist
from framecore.seat.readings import Level, in_order, parse_level, parse_station, parse_tilt, zero_error
from framecore.seat.record_sheet import record_sheet

SAMPLES = Path(__file__).parents[3] / "samples"
FINE = Level(division=0.02)


@cache
def seat(name="bench-lathe", seating="bolted down", jack=0.0):
    brief = load_brief(SAMPLES / f"{name}.toml")
    stand = evaluate(replace(brief, mounting=replace(brief.mounting, seating=seating, jack=jack)))
    return influence(stand.brief, stand.frame, stand.strength)


def advise(twist, within=0.002, screws=None, wanted=None, learned=None, moved=None, rolls=()):
    screws = screws or seat()
    t = np.atleast_1d(np.array(twist, float))
    places = np.linspace(0, screws.length, len(t) + 1).tolist()
    moved = np.zeros(len(screws.names)) if moved is None else moved
    wanted = wanted or Wanted(tolerance=0.01)
    return untwist(screws, places, t, t - within, t + within, wanted, learned or Learned(), moved, rolls)


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("+1.5 div", 0.03), ("-1.5div", -0.03), ("2", 0.04), ("1/2 div", 0.01), ("0.04 mm/m", 0.04), ("-0.04 mm / m", -0.04),
        ("1 mm per m", 1.0), ("40 um/m", 0.04), ("0.012 in/ft", 1.0), ("1 thou/in", 1.0), ("0.001 in per 10 in", 0.1),
        ("1 mrad", 1.0), ("−2 div", -0.04),
    ],
)  # fmt: skip
def test_tilts_as_people_type_them(text, value):
    assert parse_tilt(text, FINE).value == pytest.approx(value, abs=1e-12)


@pytest.mark.parametrize("text", ["", "left", "2 bananas", "1/0 div", "0.02 mm/s", "1 mm/0 m", "+-2 div", "nan div", "9" * 70])
def test_what_is_no_tilt_is_refused_with_an_example(text):
    with pytest.raises(UnitError, match=r"write for example|is not"):
        parse_tilt(text, FINE)


def test_divisions_want_a_sensitivity_and_a_sensitivity_a_unit():
    with pytest.raises(UnitError, match="what a division is worth"):
        parse_tilt("+2 div")
    with pytest.raises(UnitError, match="has no unit"):
        parse_level("0.02")
    with pytest.raises(UnitError, match=r"allowed: 0.001 to 5 mm/m, nearest 5 mm/m"):
        parse_level("10 mm/m")
    with pytest.raises(UnitError, match="carpenter's level"):
        parse_tilt("80 mm/m")


def test_how_close_a_reading_is():
    assert parse_tilt("+2 div", FINE).within == pytest.approx(0.002)
    assert parse_tilt("0.04 mm/m").within == pytest.approx(0.005)
    assert parse_tilt("0.040 mm/m").within == pytest.approx(0.0005)


def test_a_level_turned_end_for_end_gives_the_bed_and_its_own_error():
    for bed, own in ((0.03, 0.02), (-0.01, -0.05)):
        text = f"left: {bed + own:.4f} mm/m, {bed - own:.4f} mm/m"
        read = parse_station(text, Level(), 880.0)
        assert read.value == pytest.approx(bed) and read.zero == pytest.approx(own)
    both = in_order([parse_station("right: 1 div, 0 div", FINE, 880.0), parse_station("0 mm: 2 div, 1 div", FINE, 880.0)])
    assert [s.x for s in both] == [0.0, 880.0]
    assert zero_error(both) == pytest.approx((0.01, 0.0))
    assert zero_error([parse_station("left: 1 div", FINE, 880.0)]) is None


def test_the_levels_own_error_leaves_the_twist_alone():
    def twist(own):
        return twist_of([parse_station(f"{p}: {v + own} div", FINE, 880.0) for p, v in (("left", 1), ("right", 4))])[0]

    assert twist(3).tolist() == pytest.approx([0.06]) and twist(0).tolist() == pytest.approx([0.06])


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("left +2 div", "place, colon, reading"), ("lefd: 2 div", "Nearest: left"), ("900 mm: 2 div", "nearest 880 mm"),
        ("left: 1 div, 2 div, 3 div", "3 readings"),
    ],
)  # fmt: skip
def test_stations_that_are_none(text, words):
    with pytest.raises(UnitError, match=words):
        parse_station(text, FINE, 880.0)


def test_stations_must_be_two_and_apart():
    one = parse_station("left: 2 div", FINE, 880.0)
    with pytest.raises(UnitError, match="twist is a difference"):
        in_order([one])
    with pytest.raises(UnitError, match="at one place"):
        in_order([one, parse_station("0.2 mm: 1 div", FINE, 880.0)])


def test_first_all_feet_bear():
    feet = seat()
    wanted = Wanted(tolerance=0.01)
    assert bearing(feet, (), wanted) is None
    advice = bearing(feet, ("foot BL",), wanted)
    assert advice.stage == "bearing" and [m.name for m in advice.moves] == ["foot BL"]
    k = feet.names.index("foot BL")
    assert advice.moves[0].mm * feet.change[k, k] == pytest.approx(feet.press[k])
    hanging = replace(feet, open=np.array([False, True, False, False]))
    assert [m.name for m in bearing(hanging, (), wanted).moves] == [feet.names[1]]


@pytest.mark.parametrize(("across", "along"), [(3.0, 0.0), (0.0, -2.5), (-2.0, 4.0)])
def test_then_level_enough_by_raising_alone(across, along):
    feet = seat()
    stations = [parse_station(f"{p}: {across} mm/m", Level(), feet.length) for p in ("left", "right")]
    advice = level_enough(feet, stations, along, Wanted(tolerance=0.01))
    assert advice.stage == "level" and all(m.way == "raise" for m in advice.moves)
    s = np.array([sum(m.mm for m in advice.moves if m.name == n) for n in feet.names])
    assert s.min() == 0.0
    # By least squares the moves are a plane that takes both tilts away.
    plane, *_ = np.linalg.lstsq(np.column_stack([feet.points, np.ones(4)]), s, rcond=None)
    assert plane[:2] * 1000 == pytest.approx([-along, -across])
    assert feet.twist([0.0, feet.length]) @ s == pytest.approx([0.0], abs=1e-3)
    assert [roll for _, roll in advice.expected] == pytest.approx([0.0, 0.0])


def test_level_enough_knows_when_it_is_and_when_the_feet_cannot():
    feet = seat()
    stations = [parse_station(f"{p}: 0.8 mm/m", Level(), feet.length) for p in ("left", "right")]
    assert level_enough(feet, stations, 0.5, Wanted(tolerance=0.01)) is None
    advice = level_enough(feet, stations, 40.0, Wanted(tolerance=0.01))
    assert not advice.reached and not advice.moves and "pack under" in " ".join(advice.sentences)


def test_a_move_in_turns_degrees_and_flats_of_its_own_thread():
    move = advise(0.06).moves[0]
    assert move.turns == pytest.approx(abs(move.mm) / 1.75)  # M12
    assert move.degrees == pytest.approx(360 * move.turns) and move.flats == pytest.approx(6 * move.turns)
    screwed = seat("bench-lathe", "jacking screws", 40.0)
    by_screw = advise(0.03, screws=screwed, wanted=Wanted(tolerance=0.01, preload=2000.0))
    assert by_screw.moves[0].turns == pytest.approx(abs(by_screw.moves[0].mm) / 2.0)  # M16
    shims = advise(0.06, screws=seat("bench-lathe", "shims"), wanted=Wanted(tolerance=0.02, step=0.02, preload=2000.0))
    assert shims.moves[0].turns == 0 and shims.moves[0].mm / 0.02 == pytest.approx(round(shims.moves[0].mm / 0.02))


def test_what_should_be_read_afterwards():
    screws = seat()
    advice = advise(0.06, rolls=(0.01, 0.07))
    s = np.array([sum(m.mm for m in advice.moves if m.name == n) for n in screws.names])
    rolls = np.array([0.01, 0.07]) + screws.at([0.0, screws.length]) @ s
    assert [r for _, r in advice.expected] == pytest.approx(rolls.tolist())
    assert advice.expected[1][1] - advice.expected[0][1] == pytest.approx(advice.twist_after[0], abs=1e-9)


def test_the_interval_holds_the_moves_of_every_twist_read():
    advice = advise(0.06, within=0.01)
    (move,) = advice.moves
    per_mm = float(seat().twist([0.0, seat().length])[0, seat().names.index(move.name)])
    assert sorted((move.low, move.high)) == pytest.approx(sorted((-0.05 / per_mm, -0.07 / per_mm)))


def test_below_what_the_level_shows_and_within_tolerance_nothing_is_turned():
    below = advise(0.015, within=0.02)
    assert below.stage == "done" and not below.moves and "less than can be read" in below.sentences[0]
    fine = advise(0.009, within=0.002)
    assert fine.stage == "done" and not fine.moves and "leave it" in fine.sentences[0]


def test_absurd_twists_are_no_reason_to_turn_a_screw():
    for twist in (1.5, -1.5, 0.4):  # the weight on the feet can hold 0.1 mm/m
        advice = advise(twist)
        assert advice.stage == "elsewhere" and not advice.moves and not advice.reached
        assert "headstock" in advice.sentences[0]
    assert "holding-down bolts" in advise(0.4).sentences[0]


def test_a_twist_that_four_feet_cannot_make_is_not_blamed_on_them():
    bent = advise([0.05, 0.0])  # twisted in the left half and back in the right one
    assert bent.stage == "elsewhere" and not bent.moves and "no foot here can take out" in bent.sentences[0]
    mostly = advise([0.05, 0.06])
    assert mostly.stage == "twist" and mostly.moves and not mostly.reached
    assert "cannot twist the bed in that way" in " ".join(mostly.sentences)
    # By hand: the least greatest twist left by a straight line through zero with the influence's slope.
    a = seat().twist([0.0, seat().length / 2, seat().length])[:, 0]
    s = np.linspace(-0.3, 0.3, 60_001)
    best = np.abs(np.array([[0.05], [0.06]]) + a[:, None] * s).max(0).min()
    assert np.abs(mostly.twist_after).max() == pytest.approx(best, abs=2e-4)


def test_readings_coarser_than_what_is_wanted_are_said_to_be():
    assert "coarser than" in " ".join(advise(0.06, within=0.02, rolls=(0.0, 0.06)).sentences)
    assert "coarser than" not in " ".join(advise(0.06, within=0.002, rolls=(0.0, 0.06)).sentences)


def test_no_foot_lets_go():
    advice = advise(0.15)
    assert advice.stage == "twist" and not advice.reached
    screws = seat()
    s = np.array([sum(m.mm for m in advice.moves if m.name == n) for n in screws.names])
    keep = 0.1 * screws.press.mean()
    assert (screws.press + screws.change @ s).min() == pytest.approx(keep, rel=1e-6)
    assert "let go" in " ".join(advice.sentences)
    # What was turned before counts.
    moved = np.zeros(4)
    moved[screws.names.index("foot FR")] = 0.12
    second = advise(0.04, moved=moved)
    turned = np.array([sum(m.mm for m in second.moves if m.name == n) for n in screws.names])
    assert not second.reached and (screws.press + screws.change @ (s * 0 + moved + turned)).min() >= keep - 1e-6


def test_the_preload_asked_for_is_enough_and_no_more():
    screws = seat("bench-lathe", "jacking screws", 40.0)
    short = advise(0.1, screws=screws)
    assert not short.reached and short.preload > 0
    keep = 0.1 * float(screws.press.mean())
    assert advise(0.1, screws=screws, wanted=Wanted(tolerance=0.01, preload=short.preload, keep=keep)).reached
    # For the moves it names, which are told to a thousandth: other screws might do with less.
    named = dict(re.findall(r"(mount \d) ([+-][\d.]+) mm", next(w for w in short.sentences if "drawn to" in w)))
    s = np.array([float(named.get(n, 0.0)) for n in screws.names])
    rounding = 0.0005 * np.abs(screws.change[:, s != 0]).sum(axis=1).max()
    assert (screws.press + short.preload + screws.change @ s).min() == pytest.approx(keep, abs=rounding + 0.5)


def rounds(*seen):
    out = [Round(kind="foot", places=(0.0, 880.0), readings=(), twist=(0.1,), within=(0.01,), moves={"a": 0.1}, change=(-0.1,))]
    for twist in seen:
        out.append(replace(out[0], twist=(twist,), change=(-0.1,)))
    return out


def test_what_was_seen_is_learnt_as_bayes_has_it():
    r = np.linspace(-2, 4, 60_001)
    w = np.hypot(0.01, 0.01)
    for seen in ((0.05,), (0.05, -0.04)):
        log = -((r - 1.0) ** 2) / (2 * 0.5**2)
        for t0, t1 in zip((0.1, *seen), seen, strict=False):
            log -= (t1 - t0 - r * -0.1) ** 2 / (2 * w**2)
        p = np.exp(log - log.max())
        p /= p.sum()
        mean = float((p * r).sum())
        got = learn(rounds(*seen))
        assert got.share == pytest.approx(mean, rel=1e-6)
        assert got.sd == pytest.approx(float(np.sqrt((p * (r - mean) ** 2).sum())), rel=1e-6)
        assert got.rounds == len(seen)
    assert learn([]) == Learned() == learn(rounds())


def test_a_learnt_share_makes_the_moves_larger():
    half = advise(0.03, learned=Learned(share=0.5, sd=0.1, rounds=1))
    assert half.moves[0].mm == pytest.approx(2 * advise(0.03).moves[0].mm, rel=1e-6)
    none = advise(0.06, learned=Learned(share=0.05, sd=0.02, rounds=3))
    assert none.stage == "elsewhere" and "do not reach the bed" in none.sentences[0]


def test_other_stations_or_no_moves_teach_nothing():
    first, second = rounds(0.05)
    assert learn([first, replace(second, places=(0.0, 400.0))]).rounds == 0
    assert learn([replace(first, moves={}), second]).rounds == 0


def test_the_record_comes_back_as_it_was():
    import tomllib

    made = [replace(r, readings=('left: 2 "div', "a\\b"), moves={"foot FL": -0.125}) for r in rounds(0.05)]
    assert list(read_record(tomllib.loads(record_text(made, "A\nstand")))) == made


@pytest.mark.parametrize(
    ("values", "words"),
    [({"format": 2}, "format is 2"), ({"format": 1, "round": 3}, "list of tables"), ({"format": 1, "round": [{}]}, "round 1"),
     ({"format": 1, "round": [{"kind": "foot", "places": [0, 1], "readings": [], "twist": [], "within": [0.1], "moves": {},
                               "change": [0.1]}]}, "one twist")],
)  # fmt: skip
def test_a_spoilt_record_is_refused_in_one_sentence(values, words):
    with pytest.raises(BriefError, match=words):
        read_record(values)


def test_a_machine_without_a_bed_is_told_so():
    with pytest.raises(LayoutError, match="no two rows"):
        seat("surface-plate", "shims")


@pytest.mark.parametrize("name", ["surface-plate", "workbench"])
def test_a_stand_without_a_bed_is_still_levelled_on_its_feet(name):
    feet = seat(name)
    stations = [parse_station(f"{p}: 3 mm/m", Level(), 800.0) for p in ("left", "right")]
    advice = level_enough(feet, stations, 0.0, Wanted(tolerance=0.01))
    assert advice.stage == "level" and advice.moves
    first = bearing(feet, feet.names[:1], Wanted(tolerance=0.01))
    assert first.stage == "bearing" and feet.names[0] in first.sentences[1]


def test_three_feet_always_bear():
    feet = replace(seat(), change=np.zeros((4, 4)))
    advice = bearing(feet, ("foot FL",), Wanted(tolerance=0.01))
    assert not advice.moves and "no longer be turned by hand" in advice.sentences[1]


def test_the_sheet_names_every_screw_and_station():
    brief = load_brief(SAMPLES / "bench-lathe.toml")
    rows = record_sheet(brief, ("foot FL", "foot FR"), ("left", "middle", "right"), rounds=3)
    text = [" ".join(r) for r in rows]
    assert "M12, 1.75 mm a turn" in text[1]
    assert sum(r[0] in ("1", "2", "3") for r in rows) == 6
    table = next(r for r in rows if r[0] == "Round")
    assert len(table) == 3 * 3 + 2 and any("middle" in c for c in table)
    assert all(len(r) == 3 * 3 + 2 for r in rows[rows.index(table) + 1 : rows.index(table) + 4])

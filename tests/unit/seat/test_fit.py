"""The chance that the machine drops on: what must hold whatever the numbers."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from framecore import evaluate, load_brief
from framecore.figures.fit import LIMIT
from framecore.seat._minimax import Holes, drop_on, rigid_minimax
from framecore.seat.fit import METHODS, Slot, allowed, drop_on_chances, errors, wilson
from framecore.seat.slots import LENGTHS, slots_for_chance, slots_that_fit

SAMPLES = Path(__file__).parents[3] / "samples"
FOUR = ((0.0, 0.0), (500.0, 0.0), (500.0, 200.0), (0.0, 200.0))


def chance(*, holes=FOUR, room=0.5, method="measure and drill", **more):
    return drop_on_chances(holes, (room,), method, **more)[0]


def moved(points, shift, angle):
    c, s = math.cos(angle), math.sin(angle)
    return points @ np.array([[c, s], [-s, c]]) + shift


@settings(max_examples=40, deadline=None)
@given(st.integers(2, 9), st.integers(0, 10_000), st.booleans())
def test_bounds_meet_and_the_motion_reaches_them(count, seed, slotted):
    rng = np.random.default_rng(seed)
    places = rng.uniform(-300, 300, (count, 2))
    gaps = rng.normal(0, 0.5, (5, count, 2))
    angle = rng.uniform(0, np.pi, count)
    along = np.stack((np.cos(angle), np.sin(angle)), axis=1)
    half = rng.uniform(0, 1, count) * slotted
    got = rigid_minimax(gaps, Holes(places, half, along))
    assert (got.lower <= got.upper).all()
    assert (got.upper - got.lower < 2e-5).all()
    turned = places - places.mean(axis=0)
    at = gaps + got.motion[:, None, :2] + got.motion[:, 2, None, None] * np.stack((-turned[:, 1], turned[:, 0]), axis=1)
    way = np.clip((at * along).sum(axis=2), -half, half)
    far = np.hypot(*np.moveaxis(at - way[..., None] * along, 2, 0)).max(axis=1)
    assert far == pytest.approx(got.upper, abs=1e-9)


def test_a_machine_that_is_only_shifted_and_turned_fits_exactly():
    places = np.array(FOUR)
    off = moved(places, (7.0, -4.0), 0.03) - places
    got = drop_on(off[None], np.zeros((1, 4, 2)), Holes(places))
    assert got.upper[0] < 1e-6


@pytest.mark.parametrize("room", [0.1, 0.25, 0.5, 0.8])
@pytest.mark.parametrize("slotted", [False, True])
def test_leaving_early_counts_the_same_trials_as_going_on_to_the_end(room, slotted):
    machine, stand = errors(FOUR, "measure and drill", each=0.5, pattern_error=0.3)
    machine, stand = machine[:1500], stand[:1500]
    half = np.array([0.0, 0.5, 0.5, 0.5]) * slotted
    holes = Holes(np.array(FOUR), half, np.tile((0.6, 0.8), (4, 1)))
    whole = drop_on(machine, stand, holes).upper
    assert 0 < (whole <= room).sum() < 1500 or room == 0.8
    assert ((drop_on(machine, stand, holes, targets=(room,)).upper <= room) == (whole <= room)).all()


def test_bigger_holes_and_smaller_errors_never_hurt():
    machine, stand = errors(FOUR, "measure and drill", each=0.5, pattern_error=0.3)
    rooms = drop_on_chances(FOUR, (0.2, 0.3, 0.5, 0.75, 1.0), "measure and drill")
    values = [c.value for c in rooms]
    assert values == sorted(values) and values[0] < 0.3 and values[-1] > 0.95
    spread = [chance(each=e).value for e in (0.2, 0.5, 1.0)]
    assert spread == sorted(spread, reverse=True) and spread[0] - spread[-1] > 0.3
    given_errors = [chance(pattern_error=e).value for e in (0.0, 0.3, 1.0)]
    assert given_errors == sorted(given_errors, reverse=True) and given_errors[0] - given_errors[-1] > 0.3
    assert machine.shape == stand.shape


def test_errors_have_the_spread_that_is_said():
    machine, stand = errors(FOUR, "drill through the machine", each=0.4, pattern_error=0.3)
    assert not machine.any()
    assert (np.abs(stand) <= 0.4).mean() == pytest.approx(0.95, abs=0.005)
    machine, stand = errors(FOUR, "measure and drill", each=0.4, pattern_error=0.3)
    assert (np.abs(machine) <= 0.3).mean() == pytest.approx(0.95, abs=0.005)
    # The first row and column are the datum; the next carry one step more.
    plain, _ = (np.abs(stand[:, 0]) <= 0.4).mean(), None
    assert plain == pytest.approx(0.95, abs=0.005)
    step = math.hypot(0.4, METHODS["measure and drill"].chain)
    assert (np.abs(stand[:, 1, 0]) <= step).mean() == pytest.approx(0.95, abs=0.006)
    assert np.corrcoef(stand[:, 1, 0], stand[:, 2, 0])[0, 1] == pytest.approx(0.3**2 / (0.3**2 + 0.4**2), abs=0.03)


def test_a_bearer_pulled_by_its_welds_stays_a_bearer():
    _, stand = errors(FOUR, "weld bearers last", each=0.0, pattern_error=0.3, carriers=(0, 1, 1, 0))
    assert stand[:, 0, 1] == pytest.approx(stand[:, 3, 1]) and stand[:, 1, 1] == pytest.approx(stand[:, 2, 1])
    low, high = METHODS["weld bearers last"].shrink
    assert np.abs(stand).max() <= (high - low) / 2
    assert np.abs(stand).max() > 0.45 * (high - low)
    alone = chance(method="weld bearers last", carriers=(0, 0, 0, 0), room=0.05, each=1e-6)
    parted = chance(method="weld bearers last", carriers=(0, 1, 1, 0), room=0.05, each=1e-6)
    assert alone.value > parted.value


def test_one_bolt_always_goes_in_and_no_room_lets_none():
    assert chance(holes=((10.0, 20.0),)).value == 1.0
    assert chance(room=-0.1).value == 0.0
    assert chance(holes=((0.0, 0.0), (0.0, 0.0))).trials >= 2000


@pytest.mark.parametrize("method", METHODS)
def test_interval_is_within_one_percent_and_the_answer_repeats(method):
    for room in (0.05, 0.3, 0.5):
        got = chance(method=method, room=room)
        assert got.low <= got.value <= got.high <= 1.0
        assert got.high - got.low <= 0.0202
        assert got.value == got.fits / got.trials
        assert chance(method=method, room=room) == got


def test_wilson_covers_as_often_as_it_says():
    rng = np.random.default_rng(1)
    for share in (0.03, 0.5, 0.95):
        drawn = rng.binomial(400, share, 4000)
        kept = np.mean([low <= share <= high for low, high in (wilson(int(k), 400) for k in drawn)])
        assert 0.93 < kept < 0.97
    assert wilson(0, 50)[0] == 0.0 and wilson(50, 50)[1] == 1.0


def test_a_slot_lets_a_pitch_be_wrong_along_it_only():
    stand = ((0.0, 0.0), (400.0, 0.0))
    assert slots_that_fit(((0.0, 0.0), (400.6, 0.0)), stand, 0.5).length == 0.0
    got = slots_that_fit(((0.0, 0.0), (402.9, 0.0)), stand, 0.5)
    assert got.way == "along the machine" and got.slots[0] is None
    # 2.9 mm too long: twice 0.5 by the clearances, the rest by half the slot.
    assert got.length == min(v for v in LENGTHS if v / 2 >= 1.9)
    assert slots_that_fit(((0.0, 0.0), (500.0, 0.0)), stand, 0.5) is None
    up = slots_that_fit(((0.0, 0.0), (0.0, 402.9)), ((0.0, 0.0), (0.0, 400.0)), 0.5)
    assert up.way == "across the machine"


def test_slots_bring_the_chance_to_the_limit_and_shorter_ones_do_not():
    allow = allowed(11.0, 10.0)
    got = slots_for_chance(FOUR, allow, "measure and drill", limit=LIMIT)
    assert got is not None
    assert chance(room=allow, slots=got.slots).value >= LIMIT - 0.005
    shorter = tuple(s and replace(s, length=got.length - 1.0) for s in got.slots)
    assert got.length == LENGTHS[0] and chance(room=allow, slots=shorter).value < LIMIT
    # Where the errors across are too big, no slot along helps.
    assert slots_for_chance(FOUR, allowed(10.5, 10.0), "measure and drill", limit=LIMIT) is None
    assert chance(room=allow, slots=(Slot(length=0.0, along=(1.0, 0.0)),) * 4) == chance(room=allow)


def test_the_figure_judges_the_way_chosen_and_tells_the_others():
    brief = load_brief(SAMPLES / "bench-lathe.toml")
    figures = evaluate(brief).figures
    main = figures["mount.fit_chance"]
    assert main.limit == LIMIT and main.limit_kind == "min" and main.verdict
    others = {k for k in figures if k.startswith("mount.fit_chance.")}
    assert len(others) == 3 and "mount.fit_chance.drill_through_the_machine" in others
    coarse = replace(brief, mounting=replace(brief.mounting, hole_class="coarse"))
    assert evaluate(coarse).figures["mount.fit_chance"].value > main.value
    through = replace(brief, mounting=replace(brief.mounting, method="drill through the machine"))
    assert evaluate(through).figures["mount.fit_chance"].value == figures["mount.fit_chance.drill_through_the_machine"].value
    rough = replace(
        brief, mounting=replace(brief.mounting, marking=2.0), assumed=frozenset(brief.assumed) - {"mounting.marking"}
    )
    assert evaluate(rough).figures["mount.fit_chance"].value < 0.5 * main.value
    assert "helps" in main.note and "slotted" in "".join(main.working.steps)
    assert "mount.fit_chance" not in evaluate(load_brief(SAMPLES / "surface-plate.toml")).figures

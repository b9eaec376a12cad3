"""The front of a small space is that of evaluating every stand; the search is the same again, and can be stopped."""

from __future__ import annotations

import math
from dataclasses import fields, replace
from pathlib import Path

import numpy as np
import pytest

from framecore import load_brief
from framecore.brief import load_source
from framecore.frame import build_frame
from framecore.height import working_height
from framecore.search import AIMS, pool, search, space_of
from framecore.search.desk import Desk
from framecore.search.find import neighbours
from framecore.search.screen import Screen
from framecore.search.space import settled
from framecore.stand import Evaluator

SAMPLES = Path(__file__).resolve().parents[3] / "samples"
SCREENED = tuple(a for a in AIMS if a != "hours")  # what the screening knows to the last digits
FEW = {
    "frame.sections.legs": ["SHS 60x60x3", "SHS 80x80x3"],
    "frame.sections.top_rails": ["SHS 60x60x3", "SHS 80x80x3"],  # 80 on a leg of 60 cannot be built
    "frame.sections.bearers": ["SHS 60x60x3", "SHS 60x60x4"],
}
# One of each of five layouts; with braces, leaning legs, sheet, sizes that cannot be built together, and limits that no stand
# keeps: one that is screened, one that is not.
SPACES = {
    "bench-lathe": FEW | {"frame.lower_ring": [150, 250], "braces.back": ["none", "diagonal"]},
    "surface-plate": {
        "frame.sections.legs": ["SHS 40x40x3", "SHS 50x50x3", "SHS 60x60x3"],
        "frame.sections.lower_rails": ["SHS 30x30x3", "SHS 40x40x3"], "frame.lower_ring": [150, 250, 350],
    },
    "grinder-column": {"frame.sections.column": None, "frame.sections.base": None},
    "bench-lathe-trestle": {
        "frame.sections.legs": ["SHS 60x60x4", "SHS 80x80x4"], "frame.sections.top_rails": ["SHS 60x60x4", "SHS 80x80x4"],
        "frame.sections.beam": ["RHS 120x80x4", "RHS 120x80x5"], "frame.lower_ring": [140, 240],
    },
    "long-lathe-pedestals": {
        "frame.sections.legs": ["SHS 50x50x3", "SHS 60x60x3"], "frame.sections.bearers": ["SHS 60x60x3", "SHS 80x80x3"],
        "frame.sections.lower_rails": ["SHS 40x40x3", "SHS 50x50x3"], "frame.lower_ring": [150, 250],
    },
}  # fmt: skip


def space_for(name, vary):
    brief = load_brief(SAMPLES / f"{name}.toml")
    return brief, space_of(brief, build_frame(brief, working_height(brief).height), vary)


@pytest.fixture(scope="module")
def lathe():
    return space_for("bench-lathe", FEW)


def read_by_hand(brief, stand, aim):
    """One aim of a stand, negative where more is better."""
    s = stand.strength
    if aim == "hours":
        return stand.figures["welds.hours"].value
    if aim == "frequency":
        gaps = [abs(hz - r.rpm / 60) / (r.rpm / 60) for r in s.motion.speeds for hz in s.modes_hz]
        return -float(1 + min(*gaps, brief.limits.speed_band) if gaps else s.modes_hz[0])
    twist = stand.figures["twist.stiffness"].value if s.bed is None else float(s.bed.share)
    return {"cost": stand.shop.cost, "mass": float(stand.solids.mass), "sway": -min(s.sway_x, s.sway_y), "twist": -twist}[aim]


def all_by_hand(brief, space, aims):
    """Place -> aims in steps that count as alike, less is better, of all with the fewest stops that can be built."""
    out = {}
    for place in space:
        try:
            stand = Evaluator().evaluate(space.brief_at(brief, place))
        except ValueError:
            continue
        step = []
        for a in aims:
            value, wide = read_by_hand(brief, stand, a), math.log(1.05 if a == "hours" else 1.01)
            step.append(math.floor(math.log(abs(value)) / wide + 0.5) * (-1 if value < 0 else 1))
        stops = sum(f.verdict == "stop" for f in stand.figures.live.values())
        out[place] = (stops, tuple(step))
    fewest = min(v[0] for v in out.values())
    return {p: v[1] for p, v in out.items() if v[0] == fewest}


def front_by_hand(every):
    values = set(every.values())
    return {v for v in values if not any(w != v and all(a <= b for a, b in zip(w, v, strict=True)) for w in values)}


@pytest.mark.parametrize("aims", [tuple(AIMS), SCREENED], ids=["all", "without hours"])
@pytest.mark.parametrize("name", list(SPACES))
def test_front_of_a_small_space_is_that_of_every_stand(name, aims):
    brief, space = space_for(name, SPACES[name])
    every = all_by_hand(brief, space, aims)
    found = search(brief, space, aims=aims)
    front = front_by_hand(every)
    assert {every[c.place] for c in found.front} == front
    assert len(found.front) == len(front)
    assert found.proven and found.looked == found.size == space.size
    assert [c.cost for c in found.front] == sorted(c.cost for c in found.front)
    if aims == SCREENED:
        assert found.checked < len(every)  # the rest were told from their screening
    else:
        assert found.checked >= len(every)  # hours are known from a full evaluation only


def test_a_space_of_one_aim_has_one_best(lathe):
    brief, space = lathe
    found = search(brief, space, aims=("mass",))
    assert len(found.front) == 1
    assert found.front[0].hours is None  # nobody asked


def test_a_larger_space_is_searched_within_its_budget_and_the_same_again(lathe):
    brief, space = lathe
    first, again = search(brief, space, budget=4), search(brief, space, budget=4)
    assert first.looked <= 4 and not first.proven
    assert [c.place for c in first.front] == [c.place for c in again.front]


def test_a_budget_is_used_up_where_there_is_more_to_see():
    brief, space = space_for("surface-plate", None)
    found = search(brief, space, budget=600, aims=("mass",))  # one aim: its single changes are soon looked at
    assert found.looked == 600 and not found.proven
    assert "600 of " in found.how


def test_any_number_of_workers_gives_the_same_to_the_last_digit():
    brief, space = space_for("surface-plate", None)
    one, two = (search(brief, space, budget=120, workers=n, aims=SCREENED) for n in (1, 2))
    assert one.looked == two.looked and one.checked == two.checked and one.drift == two.drift
    numbers = [f.name for f in fields(one.present) if f.name != "brief"]
    assert [[getattr(c, n) for n in numbers] for c in one.front] == [[getattr(c, n) for n in numbers] for c in two.front]


def test_a_cancelled_search_returns_what_it_has(lathe):
    brief, space = lathe
    found = search(brief, space, cancel=lambda: True)
    assert not found.proven and found.looked == 0 and found.front[0].place == space.present


def test_a_search_cancelled_on_its_way_keeps_the_best_so_far():
    brief, space = space_for("bench-mill", None)
    told = []
    found = search(brief, space, budget=3000, progress=told.append, cancel=lambda: bool(told) and told[-1].looked > 500)
    assert not found.proven and 500 < found.looked < 3000
    assert [c.place for c in found.front] == [c.place for c in told[-1].best]


def test_progress_says_how_far_it_is_and_shows_what_is_better_at_once():
    brief, space = space_for("bench-mill", None)
    told = []
    search(brief, space, budget=400, progress=told.append, aims=SCREENED)
    assert [t.looked for t in told if t.stage == "looking"] == sorted(t.looked for t in told if t.stage == "looking")
    assert all(0 <= t.looked <= t.of for t in told)
    assert {t.stage for t in told} == {"looking", "checking"}
    early = next(t for t in told if t.best and t.best[0].place != space.present)
    assert early.stage == "looking" and early.looked == 0  # evaluated in full before anything is screened


def test_what_is_only_screened_is_shown_as_such_and_as_the_full_evaluation_has_it():
    brief, space = space_for("bench-mill", None)
    told = []
    search(brief, space, budget=400, progress=told.append, aims=SCREENED)
    first = next(t for t in told if t.sketched)
    assert first.stage == "looking" and 0 < first.looked < 400
    fewest = len(first.best[0].stops)
    for one in first.sketched:
        assert not one.checked and one.hours is None and len(one.stops) <= fewest
        assert all(one.place != c.place for c in first.best)
        stand = Evaluator().evaluate(one.brief)
        assert stand.buildable
        s = stand.strength
        assert (one.mass, one.sway) == pytest.approx((float(stand.solids.mass), min(s.sway_x, s.sway_y)), rel=1e-9)
        assert one.cost >= stand.shop.cost * (1 - 1e-9)
        assert set(one.stops) <= {i for i, f in stand.figures.live.items() if f.verdict == "stop"}
    assert not told[-1].best[0].stops and all(c.checked for c in told[-1].best)



def test_a_motor_near_a_mode_is_a_limit():
    """The motor's speed set to the first mode of the lightest stand: the search stays away from it."""
    brief, space = space_for("grinder-column", SPACES["grinder-column"])
    light = search(brief, space, aims=("mass",)).front[0]
    near = replace(brief, machine=replace(brief.machine, motor_speed=60 * light.first_mode, speeds=()))
    best = search(near, space, aims=("mass",)).front[0]
    assert best.place != light.place and best.mass > light.mass
    assert "modes.clear" not in best.stops and best.gap >= 0.8 * brief.limits.speed_band


def test_it_says_so_where_it_stopped_short(lathe, monkeypatch):
    brief, space = lathe
    assert search(brief, space).proven
    monkeypatch.setattr(pool, "RECHECKED", 2)
    short = search(brief, space)
    assert not short.proven and "hours of welding" in short.sure  # a quarter of eight stands
    assert search(brief, space, aims=SCREENED).proven  # what is screened is sure, however many it takes


def test_neighbours_are_one_option_away(lathe):
    _, space = lathe
    near = neighbours(space, space.present)
    assert len(set(near)) == 3
    assert all(sum(a != b for a, b in zip(n, space.present, strict=True)) == 1 for n in near)


def test_a_larger_space_is_looked_at_whole_where_somebody_asks():
    brief, space = space_for("surface-plate", SPACES["surface-plate"])
    within, whole = search(brief, space, budget=4, aims=SCREENED), search(brief, space, budget=4, whole=True, aims=SCREENED)
    assert not within.proven and whole.proven and whole.looked == space.size > 4
    assert "every other is beaten" in whole.sure and "may be better" in within.sure
    assert front_by_hand(all_by_hand(brief, space, SCREENED)) == {
        all_by_hand(brief, space, SCREENED)[c.place] for c in whole.front
    }


def test_limits_that_no_stand_keeps_are_named_with_what_would_help():
    brief, space = space_for("bench-lathe-trestle", SPACES["bench-lathe-trestle"])
    found = search(brief, space, aims=SCREENED)
    first = found.front[0]
    assert first.stops and [h.id for h in found.hurdles] == list(first.stops)
    before = Evaluator().evaluate(first.brief).figures.live
    for h in found.hurdles:
        assert (h.value, h.limit) == (before[h.id].value, before[h.id].limit)
        assert h.help is not None and h.after is not None
        after = Evaluator().evaluate(h.help.brief).figures.live
        assert after[h.id].value == pytest.approx(h.after, rel=1e-9)
        assert (after[h.id].verdict != "stop") == h.cleared
        assert h.help.words in " ".join(h.words)
    assert {h.id: h.cleared for h in found.hurdles}["feet.engagement"]
    assert "Pad thickness" in next(h for h in found.hurdles if h.id == "feet.engagement").words[1]


def test_limits_surely_missed_are_missed_by_the_full_evaluation():
    """Screened limits are a bound from below, whatever is drawn; a limit that nothing can change is counted for all."""
    brief, space = space_for("bench-lathe-trestle", None)
    desk, rng = Desk(brief, space, hours=False), np.random.default_rng(3)
    places = [space.present, *(tuple(int(rng.integers(len(c.options))) for c in space.choices) for _ in range(12))]
    found, drift = desk.look(places)
    missed = Screen(brief, SCREENED, ("feet.engagement",)).missed(found, drift)
    assert settled(space, "feet.engagement") and not settled(space, "bed.jack_share")
    seen = 0
    for n, one in enumerate(desk.check(places)):
        if not isinstance(one, str):
            assert {name for name, rows in missed.items() if rows[n]} <= set(one.stops)
            assert "feet.engagement" in one.stops
            seen += 1
    assert seen > 3 and missed["speeds.motor"].any()


def test_another_layout_brings_what_is_typical_of_it():
    """A stand of the space is what its keys give when they are typed into the file, layout and all."""
    source = load_source(SAMPLES / "bench-lathe.toml")
    brief, space = space_for("bench-lathe", {
        "frame.sections.legs": ["SHS 50x50x3"], "frame.layout": None, "frame.splay": ["0..8"], "frame.middle_legs": None,
        "frame.shelf_thickness": None,
    })  # fmt: skip
    assert {c.key: len(c.options) for c in space.choices}["frame.layout"] == 6
    for n in range(0, space.size, 17):
        written = source
        for key, value in space.values_at(space.at(n)).items():
            written = written.with_value(key, value)
        assert written.resolve().brief == space.brief_at(brief, space.at(n))


def test_numbers_and_places_of_a_space_agree(lathe):
    _, space = lathe
    assert len({space.at(n) for n in range(space.size)}) == space.size == 8
    with pytest.raises(IndexError):
        space.at(8)

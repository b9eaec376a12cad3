"""The front of a small space is that of evaluating every stand."""

from __future__ import annotations

from pathlib import Path

import pytest

from framecore import load_brief
from framecore.frame import build_frame
from framecore.height import working_height
from framecore.search import search, space_of
from framecore.search.find import neighbours
from framecore.stand import Evaluator

SAMPLES = Path(__file__).resolve().parents[3] / "samples"
VARY = {
    "frame.sections.legs": ["SHS 60x60x3", "SHS 80x80x3"],
    "frame.sections.top_rails": ["SHS 60x60x3", "SHS 80x80x3"],  # 80 on a leg of 60 cannot be built
    "frame.sections.bearers": ["SHS 60x60x3", "SHS 60x60x4"],
}


@pytest.fixture(scope="module")
def lathe():
    brief = load_brief(SAMPLES / "bench-lathe.toml")
    return brief, space_of(brief, build_frame(brief, working_height(brief).height), VARY)


def all_by_hand(brief, space):
    """Objectives (less is better, in whole per cent steps) of every stand that can be built and has the fewest stops."""
    import math

    out = {}
    for place in space:
        try:
            stand = Evaluator().evaluate(space.brief_at(brief, place))
        except ValueError:
            continue
        s = stand.strength
        stops = sum(f.verdict == "stop" for f in stand.figures.live.values())
        less = (stand.shop.cost, stand.solids.mass)
        more = (min(s.sway_x, s.sway_y), s.bed.share, s.modes_hz[0])
        step = [round(math.log(v) / math.log(1.01) - 1e-12) for v in (*less, *more)]
        out[place] = (stops, (*step[:2], *(-k for k in step[2:])), stand.shop.cost)
    fewest = min(v[0] for v in out.values())
    return {p: v for p, v in out.items() if v[0] == fewest}


def test_front_of_a_small_space_is_that_of_every_stand(lathe):
    brief, space = lathe
    told = []
    found = search(brief, space, progress=told.append)
    every = all_by_hand(brief, space)
    front = {
        v[1] for v in every.values()
        if not any(all(a <= b for a, b in zip(w[1], v[1], strict=True)) and w[1] != v[1] for w in every.values())
    }  # fmt: skip
    assert {every[c.place][1] for c in found.front} == front
    assert len(found.front) == len(front) and all(c.place in every for c in found.front)
    assert found.looked == found.size == 8 and told[-1].best
    assert [c.cost for c in found.front] == sorted(c.cost for c in found.front)
    assert found.proven


def test_a_larger_space_is_searched_within_its_budget_and_the_same_again(lathe):
    brief, space = lathe
    first, again = search(brief, space, budget=4), search(brief, space, budget=4)
    assert first.looked <= 4 and not first.proven
    assert [c.place for c in first.front] == [c.place for c in again.front]


def test_a_cancelled_search_returns_what_it_has(lathe):
    brief, space = lathe
    found = search(brief, space, cancel=lambda: True)
    assert not found.proven and found.front[0].place == space.present


def test_neighbours_are_one_option_away(lathe):
    _, space = lathe
    near = neighbours(space, space.present)
    assert len(set(near)) == 3
    assert all(sum(a != b for a, b in zip(n, space.present, strict=True)) == 1 for n in near)


def test_numbers_and_places_of_a_space_agree(lathe):
    _, space = lathe
    assert len({space.at(n) for n in range(space.size)}) == space.size == 8
    with pytest.raises(IndexError):
        space.at(8)

"""Every grip of every layout: it stands where the brief has its size, and goes as far as there is a stand."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from app.view3d.handles import Here
from app.view3d.limits import fault, short
from app.view3d.size_handles import SIZES, SizeHandles
from app.view3d.snaps import sold_stops, stopped
from app.view3d.spread import GAP, spread
from framecore import evaluate
from framecore.brief import load_source
from framecore.errors import Finding, UnitError
from framecore.frame import LAYOUTS
from framecore.search.space import value_of, with_value
from framecore.units import INCH

SAMPLES = sorted((Path(__file__).resolve().parents[3] / "samples").glob("*.toml"))
WHAT = {  # the grips of each sample, besides its bearers
    "bench-lathe": "LDHS", "bench-lathe-trestle": "LDHSA", "bench-mill": "LDHR", "drill-press": "LDHR",
    "grinder-column": "LDH", "long-lathe-pedestals": "LDHSTP", "saw-on-wheels": "LDHSOKMW", "surface-plate": "HSA",
    "workbench": ["L", "D", "H", "S", "T", "OL", "OR", "OF", "O", "W"],
}  # fmt: skip


def here_of(source):
    brief = source.resolve().brief
    stand = evaluate(brief)
    bearers = tuple(sorted(m.start.point[0] for m in stand.frame.members if m.name.startswith("bearer ")))
    return Here(source=source, brief=brief, seat=stand.frame.seat, bearers=bearers, stand=stand)


@pytest.fixture(scope="module")
def every():
    return {p.stem: here_of(load_source(p)) for p in SAMPLES}


def size_of(here, key):
    return next(s for s in SIZES if s.key == key and s.shown(here))


def grip(here, name):
    return next(h for h in SizeHandles().handles(here) if h.id == name)


def pulled(h, x, y, z):
    return np.array(h.at) + np.array([x, y, z], float)


def present(here, key):
    value = value_of(here.brief, key)
    return here.stand.height.height if value is None else value


def test_the_samples_have_every_layout(every):
    assert {h.brief.frame.layout for h in every.values()} == set(LAYOUTS)


@pytest.mark.parametrize("name", [p.stem for p in SAMPLES])
def test_grips_stand_at_their_sizes_and_follow_them(every, name):
    here = every[name]
    shown = SizeHandles().handles(here)
    assert [h.mark for h in shown if not h.id.startswith("bearer")] == list(WHAT[name])
    assert sum(h.id.startswith("bearer") for h in shown) == len(here.bearers)
    for h in shown:
        if h.id.startswith("bearer"):
            continue
        size = size_of(here, h.id)
        now = size.value(here, np.array(h.at))
        assert now == pytest.approx(present(here, h.id), abs=1e-6), h.id
        # The grip of a larger size stands where this one's line gives that size.
        more = now + (1.0 if size.degrees else 8.0)
        other = Here(source=here.source, brief=with_value(here.brief, h.id, more), seat=here.seat, bearers=here.bearers,
                     stand=here.stand)  # fmt: skip
        there = np.array(size.at(other))
        assert size.value(here, there) == pytest.approx(more, abs=1e-6), h.id
        if not size.degrees:
            assert abs(size.factor) * np.linalg.norm(there - h.at) == pytest.approx(8.0, rel=0.01), h.id
        # Rails between leaning legs come in a little as they rise.
        assert np.linalg.norm(np.cross(there - h.at, h.ways[0])) < 0.1 * np.linalg.norm(there - h.at) + 1e-9, h.id


@pytest.mark.parametrize("name", [p.stem for p in SAMPLES])
def test_a_hand_that_pulls_too_far_stops_at_the_last_stand(every, name):
    here = every[name]
    for h in SizeHandles().handles(here):
        for sign in (-1, 1):
            change = SizeHandles().moved(here, h, np.array(h.at) + 4000.0 * sign * np.array(h.ways[0]), False, 3.0)
            assert change.note and "no further" in change.words, h.id
            assert fault(here, change.values) is None, h.id


def test_one_step_more_than_where_a_hand_stops_gives_no_stand(every):
    here, family = every["bench-lathe"], SizeHandles()
    h = grip(here, "frame.lower_ring")
    high = family.moved(here, h, pulled(h, 0, 0, 2000), False).values["frame.lower_ring"]
    assert fault(here, {"frame.lower_ring": high}) is None
    assert "runs into the top ring" in fault(here, {"frame.lower_ring": high + 0.5}).message


def test_a_brief_that_gives_no_stand_may_be_mended_by_hand(every):
    good = every["bench-lathe"]
    source = good.source.with_value("frame.lower_ring", 900)
    here = Here(source=source, brief=source.resolve().brief, seat=good.seat, bearers=good.bearers, stand=good.stand)
    h = grip(here, "frame.lower_ring")
    change = SizeHandles().moved(here, h, pulled(h, 0, 0, -60), False)
    assert change.values["frame.lower_ring"] == pytest.approx(840) and not change.note


def test_a_bar_that_is_too_short_stops_a_hand(every):
    source = every["bench-lathe"].source.with_value("steel.sold", [{"length": 1500}])
    here = here_of(source)
    h = grip(here, "frame.length")
    change = SizeHandles().moved(here, h, pulled(h, 900, 0, 0), False)
    evaluate(source.with_value("frame.length", change.values["frame.length"]).resolve().brief)
    assert "no bar of SHS" in change.note and change.values["frame.length"] > 1500


def test_why_it_stops_is_said_shortly():
    assert short(Finding(code="brief.value", message="long", allowed="1 mm to 2 mm")) == "Allowed: 1 mm to 2 mm."
    assert short(Finding(code="frame.x", message="It meets.", allowed="1 mm")) == "It meets."


def test_typed_values_are_refused_where_they_give_no_stand(every):
    here, family = every["surface-plate"], SizeHandles()
    splay = grip(here, "frame.splay")
    assert family.fields(here, splay) == (("splay of the legs", "10"),)
    assert family.typed(here, splay, ("12.5 deg",)).values == {"frame.splay": 12.5}
    with pytest.raises(UnitError, match="25 deg"):
        family.typed(here, splay, ("40",))
    with pytest.raises(UnitError, match=r"^splay of the legs: "):
        family.typed(here, splay, ("much",))
    with pytest.raises(UnitError, match="nearest is 200 mm"):
        family.typed(here, grip(here, "frame.height"), ("20",))


def test_a_fixed_bearer_is_freed(every):
    bench, family = every["workbench"], SizeHandles()
    assert family.removed(bench, grip(bench, "bearer 1")) is None  # none is fixed
    fixed = here_of(bench.source.with_value("frame.bearers_at", [-100, 400]))
    assert family.removed(fixed, grip(fixed, "bearer 1")).values == {"frame.bearers_at": None}
    assert family.removed(fixed, grip(fixed, "frame.length")) is None


@pytest.mark.parametrize("name", ["workbench", "long-lathe-pedestals", "bench-lathe-trestle"])
def test_bearers_move_on_every_layout_that_has_them(every, name):
    here, family = every[name], SizeHandles()
    h = grip(here, "bearer 2")
    change = family.moved(here, h, pulled(h, 6, 0, 0), True)
    stand = evaluate(here.source.with_value("frame.bearers_at", change.values["frame.bearers_at"]).resolve().brief)
    moved = next(m for m in stand.frame.members if m.name == "bearer 2")
    assert moved.start.point[0] == pytest.approx(here.bearers[1] + 6, abs=0.01)


def test_a_bearer_likes_to_lie_under_the_holes(every):
    here, family = here_of(every["bench-lathe"].source.with_value("frame.bearers_at", [-430, 440])), SizeHandles()
    h = grip(here, "bearer 1")

    def at(free, reach):
        return family.moved(here, h, pulled(h, -7, 0, 0), free, reach)

    assert at(False, 5.0).values["frame.bearers_at"] == [-440, 440] and "holes" in at(False, 5.0).words
    assert at(True, 5.0).values["frame.bearers_at"] == at(False, 1.0).values["frame.bearers_at"] == [-437, 440]


def test_a_size_likes_round_numbers_and_whole_pieces_of_a_bar(every):
    here = every["bench-lathe"]
    assert stopped(1198.4, "metric", 6.0, ()).value == 1200 and stopped(1196.0, "metric", 6.0, ()).value == 1200
    assert stopped(1196.0, "metric", 3.0, ()) is None and stopped(1205.0, "metric", 4.0, ()) is None
    assert stopped(24.1 * INCH, "inch", 6.0, ()).value == pytest.approx(24 * INCH)
    stops = sold_stops(here.stand, "frame.length")
    five = next(s for s in stops if s.words.startswith("5 x A1 "))
    assert stopped(five.value + 3, "metric", 6.0, stops) == five
    # Five of these rails take one bar whole: at this length it is one bar, at one millimetre more it is not.
    for longer, bars in ((0.0, True), (1.0, False)):
        stand = evaluate(with_value(here.brief, "frame.length", five.value + longer))
        rail = next(p for p in stand.shop.pieces if "top rail front" in p.members)
        room = 6000 - 2 * here.brief.steel.trim + here.brief.steel.kerf
        assert (5 * (rail.sawn + here.brief.steel.kerf) <= room + 1e-6) is bars


def test_grips_part_where_they_would_cover_each_other():
    radii = [9.0, 9.0, 5.0, 9.0]
    spots = np.array([[100.0, 100.0], [100.0, 100.0], [103.0, 101.0], [300.0, 50.0]])
    apart = spread(spots, radii)
    for i in range(4):
        for j in range(i):
            assert np.hypot(*(apart[i] - apart[j])) >= radii[i] + radii[j] + GAP - 0.6
    assert (apart[3] == spots[3]).all() and apart[0][0] < apart[1][0]
    assert np.isnan(spread(np.array([[np.nan, np.nan], [1.0, 1.0]]), [9.0, 9.0])[0]).all()


def test_there_and_back_again_leaves_the_brief_as_it_was(every):
    here, family = every["workbench"], SizeHandles()
    front = grip(here, "frame.overhang_front")  # nobody typed it
    assert family.moved(here, front, pulled(front, 0, 40, 0), False).values == {"frame.overhang_front": None}
    assert family.moved(here, front, pulled(front, 0, -40, 0), False).values == {"frame.overhang_front": 80}
    long = grip(here, "frame.length")
    assert family.moved(here, long, np.array(long.at), False).values == {"frame.length": "1.6 m"}

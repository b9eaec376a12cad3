"""Jacking blocks: under every foot, tapped where their screws stand, and out of each other's way."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import combinations

import numpy as np
import pytest

from framecore.brief.model import Brief, FrameBrief, Machine, Mounting
from framecore.catalogue import thread
from framecore.errors import LayoutError
from framecore.frame import build_frame
from framecore.frame._blocks import BESIDE, LAND, ROUND, jack_place
from framecore.stand import evaluate

HOLES = ((0.0, 0.0), (600.0, 0.0), (0.0, 180.0), (600.0, 180.0))


def brief(holes=HOLES, layout="four-post", **mounting):
    asked = {"seating": BESIDE, "jack": 50.0, "screw": "M10"} | mounting
    return Brief(machine=Machine(holes=holes, centre_of_mass=(250.0, 90.0, 150.0)), mounting=Mounting(**asked),
                 frame=FrameBrief(layout=layout))  # fmt: skip


def blocks(f):
    return [p for p in f.plates if p.name.startswith("jacking block")]


@pytest.mark.parametrize("layout", ["four-post", "trestle"])
@pytest.mark.parametrize("kind", [BESIDE, ROUND])
def test_a_block_stands_under_every_foot_and_in_the_gap(kind, layout):
    b = brief(seating=kind, screw="M20" if kind == ROUND else "M10", jack=60.0, layout=layout)
    f = build_frame(b, 800.0)
    own = blocks(f)
    assert len(own) == len(f.mounts) == 4
    for plate, mount in zip(own, f.mounts, strict=True):
        assert plate.origin[2] == mount.point[2] == f.seat
        assert plate.thickness == 30.0 < b.mounting.jack
        assert plate.on == (mount.name,)
        np.testing.assert_allclose(np.ptp(plate.outline, axis=0), (50.0, 50.0))


def test_two_tapped_holes_lie_on_a_diagonal_across_the_bolt():
    f = build_frame(brief(), 800.0)
    for k, mount in enumerate(f.mounts, 1):
        own = [h for h in f.holes if h.owner == f"jacking block {k}"]
        (bolt,) = (h for h in own if not h.tapped)
        one, two = (h for h in own if h.tapped)
        assert bolt.diameter == mount.hole and bolt.centre[:2] == mount.point[:2]
        assert {one.tapped, two.tapped} == {"M10"} and one.diameter == thread("M10").tap_drill
        c, land, _ = jack_place(BESIDE, 50.0, mount.hole, 10.0)
        assert math.dist(one.centre, two.centre) == pytest.approx(2 * c)
        middle = [(a + b) / 2 for a, b in zip(one.centre, two.centre, strict=True)]
        assert middle == pytest.approx(bolt.centre)
        rim = 25.0 - max(abs(one.centre[i] - mount.point[i]) for i in (0, 1)) - 5.0
        assert rim == pytest.approx(land) and land > LAND * 10.0


def test_a_hollow_screw_takes_the_place_of_the_bolt_hole():
    f = build_frame(brief(seating=ROUND, screw="M20"), 800.0)
    own = [h for h in f.holes if h.owner == "jacking block 1"]
    assert [(h.tapped, h.diameter) for h in own] == [("M20", thread("M20").tap_drill)]
    assert own[0].centre[:2] == f.mounts[0].point[:2]


@pytest.mark.parametrize("asked", [{"seating": "bolted down"}, {"seating": "shims"}, {"jack": 20.0}, {"holes": ()}])
def test_no_block_where_none_is_asked_for_or_none_goes_in(asked):
    assert not blocks(build_frame(brief(**asked), 800.0))


def test_blocks_that_meet_are_a_stop_with_a_cure():
    holes = ((0.0, 0.0), (45.0, 0.0), (0.0, 180.0), (600.0, 180.0))
    b = brief(holes=holes)
    with pytest.raises(LayoutError) as caught:
        evaluate(replace(b, frame=replace(b.frame, bearer_place="over the ring")))
    found = next(f for f in caught.value.findings if f.code == "frame.jack_blocks_meet")
    assert found.nearest == "45 mm"


def test_blocks_are_weighed_cut_and_clash_with_nothing():
    with_, without = evaluate(brief()), evaluate(brief(seating="shims"))
    more = with_.figures["mass.frame"].value - without.figures["mass.frame"].value
    drilled = 50.0**2 - math.pi / 4 * (11.0**2 + 2 * thread("M10").tap_drill ** 2)
    assert more == pytest.approx(4 * drilled * 30.0 * 7850e-9, rel=1e-3)
    (line,) = (p for p in with_.shop.plates if "jacking block 1" in p.names)
    assert len(line.names) == 4
    for p, q in combinations(blocks(with_.frame), 2):
        assert max(abs(p.origin[i] - q.origin[i]) for i in (0, 1)) >= 50.0

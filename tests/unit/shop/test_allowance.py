"""What pieces are sawn longer: welded ends alone, early and late alike, and the cut plan lays out what is sawn."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from framecore.brief.model import Brief, Machine, SoldLength
from framecore.errors import CuttingError
from framecore.figures.book import Once
from framecore.frame import build_frame
from framecore.shop import build_shop
from framecore.shop.allowance import BUTT, FILLET_MOST, ROWS, end_pulls, joint_shrinkage, longer
from framecore.shop.assemblies import wholes
from framecore.shop.filler import section_of
from framecore.shop.pieces import shop_pieces
from framecore.solids import SolidsBuilder
from framecore.solids.contacts import contacts
from framecore.stand.work import work_of
from tests.unit.shop.work_samples import RANDOM, SAMPLES, random_stand, stand, work


def test_one_joint():
    assert joint_shrinkage(0.0, 3.0) == (0.0, 0.0)
    # 4.5 mm2 on a wall of 3 mm: 0.15 mm at least, 0.8 mm at most.
    assert joint_shrinkage(4.5, 3.0) == pytest.approx((0.15, 0.8))
    # More metal than the usual fillet takes more than that.
    assert joint_shrinkage(60.0, 3.0) == pytest.approx((FILLET_MOST, BUTT * 20))


def test_half_of_what_may_go_is_sawn_longer_in_half_millimetres():
    assert longer(()) == 0.0
    assert longer(((0.2, 0.8),)) == 0.5
    assert longer(((0.2, 0.8), (0.2, 0.8))) == 1.0
    assert longer(((0.6, 0.8), (0.7, 0.8))) == 1.5


def at_end(stand, work, touching, name, end):
    """Metal of the heaviest weld in the map on the face of one end, mm2: that face lies against a neighbour's."""
    m = stand.frame.member(name)
    cut = (m.start, m.end)[end]

    def off(p):
        return abs(sum((a - b) * n for a, b, n in zip(p, cut.point, cut.normal, strict=True)))

    def here(w):
        return name in w.parts and any(
            all(off(p) < 1.0 and math.dist(p, cut.point) < 2 * deep for p in (run[0], run[-1])) for run in w.runs
        )

    deep = max(m.profile.width, m.profile.height)
    members = {m.name for m in stand.frame.members}
    butts = {
        frozenset((c.one, c.other)) for c in touching
        if abs(sum(a * b for a, b in zip(c.normal, cut.normal, strict=True))) > 0.999 and any(off(s.a) < 1.0 for s in c.seams)
    }  # fmt: skip
    own = [w for w in work.welds if set(w.parts) <= members and frozenset(w.parts) in butts]
    return max((section_of(w) for w in own if here(w)), default=0.0)


def check_ends(s):
    """Every welded end of the map has its allowance and no other; of a row the map's joints agree with the early ones."""
    pulls, w = end_pulls(s.brief, s.frame), work_of(s)
    touching = contacts(s.frame, s.solids, wholes(w.assemblies))
    for m in s.frame.members:
        if m.role not in ROWS:
            assert m.name not in pulls
            continue
        metal = [at_end(s, w, touching, m.name, end) for end in (0, 1)]
        early = pulls.get(m.name, ())
        late = [joint_shrinkage(a, m.profile.wall) for a in metal if a]
        assert len(early) == len(late), (m.name, early, metal)
        assert sum(p[0] for p in early) == pytest.approx(sum(p[0] for p in late), abs=0.35)


@pytest.mark.parametrize("name", SAMPLES)
def test_ends_with_an_allowance_are_the_ends_that_the_map_welds(name):
    check_ends(stand(name))


def test_ends_of_random_stands_with_an_allowance_are_welded():
    for s in filter(None, map(random_stand, RANDOM)):
        check_ends(s)


def test_free_ends_are_not_sawn_longer():
    pieces = {n: p for p in stand("bench-lathe-trestle").shop.pieces for n in p.members}
    for name in ("box beam", "bearer 1", "bearer 2", "top rail left"):
        assert pieces[name].longer == 0.0 and pieces[name].sawn == pieces[name].length
    assert pieces["stretcher front"].longer == 1.0
    assert {m for c in work("bench-lathe-trestle").chains for m in c.members} == {
        "stretcher front", "stretcher back", "lower rail left", "lower rail right",
    }  # fmt: skip


@pytest.mark.parametrize("name", SAMPLES)
def test_the_cut_plan_lays_out_what_is_sawn(name):
    s = stand(name)
    pieces = {p.mark: p for p in s.shop.pieces}
    lengths = {m.name: m.length for m in s.frame.members}
    bought = saw = 0.0
    for _, plan in s.shop.plans:
        for bar in plan.bars:
            assert bar.bar.trim + sum(pieces[c.mark].sawn for c in bar.cuts) + plan.kerf * (len(bar.cuts) - 1) + (
                bar.offcut
            ) <= bar.bar.length + 1e-6
            for c in bar.cuts:
                assert c.length == pytest.approx(pieces[c.mark].sawn)
            if not bar.bar.rack:
                bought += bar.bar.length
                saw += sum(c.length for c in bar.cuts)
    assert s.shop.yield_share == pytest.approx(saw / bought)
    for p in pieces.values():
        # Finished length and mass are those of the stand; what welds take off again is none of it.
        assert all(p.length == pytest.approx(lengths[n], abs=0.05) for n in p.members)
        assert p.sawn == p.length + p.longer
    masses = sum(p.mass * len(p.members) for p in pieces.values())
    assert masses == pytest.approx(sum(m for n, m in zip(s.solids.layout.parts, s.solids.masses, strict=True) if n in lengths))


HOLES = ((0.0, 0.0), (600.0, 0.0), (0.0, 180.0), (600.0, 180.0))


def shop_of(length):
    b = Brief(machine=Machine(holes=HOLES))
    b = replace(b, steel=replace(b.steel, sold=(SoldLength(length=length),), trim=0.0))
    frame = build_frame(b, 800.0)
    return frame, build_shop(b, frame, SolidsBuilder().build(frame, 7850.0))


def test_a_bar_that_only_the_finished_length_fits_is_not_enough():
    frame, shop = shop_of(6000.0)
    rail = max((p for p in shop.pieces if p.longer), key=lambda p: p.length)
    assert rail.length == max(m.length for m in frame.members)
    for spare, fits in ((rail.longer / 2, False), (rail.longer, True)):
        if fits:
            assert shop_of(rail.length + spare)[1].plans
        else:
            with pytest.raises(CuttingError):
                shop_of(rail.length + spare)


def test_pieces_alike_when_finished_carry_two_marks_where_one_is_sawn_longer():
    b = Brief(machine=Machine(holes=HOLES))
    frame = build_frame(b, 800.0)
    solids = SolidsBuilder().build(frame, 7850.0)
    plain, _ = shop_pieces(frame, solids)
    apart, marks = shop_pieces(frame, solids, {"top rail front": 1.0})
    assert len(apart) == len(plain) + 1
    assert marks["top rail front"] != marks["top rail back"]


def test_the_work_is_not_asked_for_by_the_cut_plan(monkeypatch):
    monkeypatch.setattr(Once, "__call__", lambda self: pytest.fail("worked out too early"))
    _, shop = shop_of(6000.0)
    assert any(p.longer for p in shop.pieces)

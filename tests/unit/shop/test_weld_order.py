"""Order of welding: pulls stay balanced as they grow, whatever order the welds are found in."""

from __future__ import annotations

import math
import random
from dataclasses import replace

import numpy as np
import pytest

from framecore.shop.weld_order import in_order, middle, pull
from framecore.shop.work import Weld
from tests.unit.shop.work_samples import SAMPLES, work


def one(name, at, length=50.0, throat=2.0, pitch=0.0):
    x, y, z = at
    run = ((x - length / 2, y, z), (x + length / 2, y, z))
    return Weld(
        mark="", joint=name, parts=("a", name), kind="fillet", leg=3.0, throat=throat, runs=(run,), length=length,
        faces=(((0.0, 0.0, 1.0), (0.0, 1.0, 0.0)),), pitch=pitch, assembly="frame",
    )  # fmt: skip


def path(row):
    """First moment of the pulls about the middle of all of them after each weld."""
    at, weight = np.array([middle(w) for w in row]), np.array([pull(w) for w in row])
    off = at - (weight @ at) / weight.sum()
    return np.linalg.norm(np.cumsum(weight[:, None] * off, axis=0), axis=1)


CORNERS = [(0.0, 0.0, 0.0), (1000.0, 0.0, 0.0), (1000.0, 600.0, 0.0), (0.0, 600.0, 0.0)]


def test_the_second_corner_is_the_opposite_one():
    row = in_order([one(f"c{k}", p) for k, p in enumerate(CORNERS)], ["frame"])
    assert [w.order for w in row] == [1, 2, 3, 4]
    first, second = middle(row[0]), middle(row[1])
    assert math.dist(first, second) == pytest.approx(math.hypot(1000, 600))
    assert path(row)[-1] == pytest.approx(0, abs=1e-6)
    # After the first pair nothing pulls to one side.
    assert path(row)[1] == pytest.approx(0, abs=1e-6)


@pytest.mark.parametrize("name", SAMPLES)
def test_pulls_are_better_balanced_than_in_the_order_of_the_file(name):
    for a in {w.assembly for w in work(name).welds}:
        own = sorted((w for w in work(name).welds if w.assembly == a and not w.pitch), key=lambda w: w.order)
        if len(own) < 4:
            continue
        plain = sorted(own, key=lambda w: (w.joint, w.parts, w.kind))
        ours, theirs = path(own), path(plain)
        assert ours.mean() < theirs.mean(), a
        assert ours.max() <= theirs.max() + 1e-6, a


@pytest.mark.parametrize("name", ["bench-lathe", "workbench"])
def test_the_order_in_which_welds_are_found_does_not_matter(name):
    own = [replace(w, order=0) for w in work(name).welds]
    names = [a.name for a in work(name).assemblies]
    first = in_order(own, names)
    for seed in range(3):
        row = list(own)
        random.Random(seed).shuffle(row)
        assert in_order(row, names) == first


def test_stitches_come_last():
    row = [one("sheet", CORNERS[0], pitch=150.0), *(one(f"c{k}", p) for k, p in enumerate(CORNERS))]
    assert [w.joint for w in in_order(row, ["frame"])][-1] == "sheet"
    for name in SAMPLES:
        for a in {w.assembly for w in work(name).welds}:
            stitched = [bool(w.pitch) for w in sorted(work(name).welds, key=lambda w: w.order) if w.assembly == a]
            assert stitched == sorted(stitched)


def test_a_heavier_weld_pulls_more():
    assert pull(one("a", CORNERS[0], throat=4.0)) == 4 * pull(one("b", CORNERS[0], throat=2.0))
    assert pull(one("a", CORNERS[0], length=100.0)) == 2 * pull(one("b", CORNERS[0], length=50.0))


def test_every_weld_has_its_own_place():
    for name in SAMPLES:
        places = [(w.assembly, w.order) for w in work(name).welds]
        assert len(set(places)) == len(places) and min(o for _, o in places) == 1

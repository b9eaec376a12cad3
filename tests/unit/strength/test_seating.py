"""What stands under the machine's feet: one bar beside the screws, block and bolt built piece by piece."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from framecore.brief import load_brief
from framecore.brief.model import Brief, Machine
from framecore.catalogue import thread
from framecore.fem import FrameModel, assemble
from framecore.frame._blocks import jack_place
from framecore.frame.model import Mount
from framecore.stand import evaluate
from framecore.strength._seating import SHEAR, E, G, block_piece, foot_bar, in_one, screw_piece

SAMPLES = Path(__file__).parents[3] / "samples"
TOP = 50.0
PAIR = math.sqrt(0.5)


def asked(seating="jacking screws", jack=TOP, **kw) -> Brief:
    brief = Brief(machine=Machine(holes=((0.0, 0.0), (600.0, 0.0), (0.0, 180.0), (600.0, 180.0)), bolt="M12"))
    kw = {"screw": "M16", "block": 50.0, "block_height": 30.0, "foot_thickness": 20.0} | kw
    return replace(brief, mounting=replace(brief.mounting, seating=seating, jack=jack, **kw))


def mount(brief: Brief, slot: float = 0.0, axis=(1.0, 0.0, 0.0)) -> Mount:
    return Mount(name="mount 1", point=(0.0, 0.0, 0.0), member="", hole=13.5, slot=slot, slot_axis=axis)


def bar(brief: Brief, **kw):
    return foot_bar(brief, mount(brief, **kw), max(brief.mounting.jack, 12.0), 30.0)


def flexibility(nodes, rows, top: int) -> np.ndarray:
    """6 x 6 movements of node ``top`` over node 0, held fast, for unit loads; rows: (i, j, a, b, y, numbers)."""
    a, b = np.array([r[2] for r in rows]), np.array([r[3] for r in rows])
    ends, y = np.array([r[:2] for r in rows]), np.array([r[4] for r in rows])
    x = (b - a) / np.linalg.norm(b - a, axis=1)[:, None]
    area, i_y, i_z, j, shear_y, shear_z = np.array([r[5] for r in rows]).T
    nodes = np.array(nodes)
    fast = 1e14
    model = FrameModel(
        nodes=nodes, elements=ends, axes=np.stack([x, y, np.cross(x, y)], axis=1),
        offsets=np.stack([a - nodes[ends[:, 0]], b - nodes[ends[:, 1]]], axis=1), area=area, i_y=i_y, i_z=i_z, j=j,
        shear_y=shear_y, shear_z=shear_z, e=E, g=G, density=0.0, spring_nodes=np.array([0]),
        spring_stiffness=np.full((1, 6), fast),
    )  # fmt: skip
    loads = np.zeros((len(nodes), 6, 6))
    loads[top] = np.eye(6)
    return assemble(model).solve(loads)[top]


def of_bar(s, y=None) -> np.ndarray:
    row = (0, 1, (0, 0, s.low), (0, 0, s.low + s.length), s.y, (s.area, s.i_y, s.i_z, s.j, s.shear_y, s.shear_z))
    return flexibility([(0, 0, 0), (0, 0, TOP)], [row], 1)


def of_pieces(brief: Brief, block: float, turn: float = 1.0) -> np.ndarray:
    """Block, then each screw where it is, and the bolt as a bar that only pulls."""
    m, screw, bolt = brief.mounting, thread(brief.mounting.screw), thread(brief.machine.bolt)
    y = (PAIR, turn * PAIR, 0.0)
    d, bore, count = screw.root_diameter, 0.0, 2
    c = jack_place(m.seating, m.block, 13.5, screw.diameter)[0]
    if m.seating != "jacking screws":
        bore, count = 13.5, 1
    area, i = math.pi / 4 * (d * d - bore * bore), math.pi / 64 * (d**4 - bore**4)
    solid = (area, i, i, 2 * i, SHEAR * area, SHEAR * area)
    side = m.block
    full = side * side - math.pi / 4 * 13.5**2
    box = (full, side**4 / 12, side**4 / 12, 0.1406 * side**4, 5 / 6 * full, 5 / 6 * full)
    rows = [(0, 1, (0, 0, 0), (0, 0, block), y, box)]
    for k in range(count):
        off = (c if k else -c) if count == 2 else 0.0
        at = (off * y[0], off * y[1])
        rows.append((1, 2, (*at, block), (*at, TOP), y, solid))
    long = 20.0 + TOP + 30.0
    # The bolt's pull over its own length, as a bar between seat and foot that bends next to nothing.
    pull = (bolt.stress_area * TOP / long, 1e-6, 1e-6, 1e-6, 0.0, 0.0)
    rows.append((0, 2, (0, 0, 0), (0, 0, TOP), y, pull))
    return flexibility([(0, 0, 0), (0, 0, block), (0, 0, TOP)], rows, 2)


def turned(f: np.ndarray, y: tuple[float, float, float]) -> np.ndarray:
    """Into the pair's own axes: y along the two screws."""
    one = np.array([[0, 0, 1], list(y), [-y[1], y[0], 0]])
    both = np.kron(np.eye(2), one)
    return both @ f @ both.T


def test_two_screws_in_a_block_as_one_bar():
    """Exact but for the height of its elastic centre in the plane of the pair: 5 of 50 mm too high."""
    brief = asked()
    s = bar(brief)
    one, many = (turned(f, s.y) for f in (of_bar(s), of_pieces(brief, 30.0)))
    # Axes: 0 up, 1 along the pair, 2 across it. Across it the screws shift and the foot turns about the pair.
    soft = np.ix_((0, 2, 3, 4), (0, 2, 3, 4))
    scale = np.sqrt(np.outer(many.diagonal(), many.diagonal()))
    assert np.abs((one - many) / scale)[soft].max() < 1e-6
    assert one[5, 5] == pytest.approx(many[5, 5], rel=1e-6)
    held = [np.linalg.inv(f[np.ix_((1, 5), (1, 5))]) for f in (one, many)]
    assert held[0][0, 0] == pytest.approx(held[1][0, 0], rel=1e-5)  # shifted along the pair, both ends held
    centre = [TOP - abs(f[1, 5]) / f[5, 5] for f in (one, many)]
    assert 0.0 < centre[0] - centre[1] < 0.11 * TOP


def test_a_hollow_screw_in_a_block_as_one_bar_is_exact():
    brief = asked("hollow jacking screws", screw="M20")
    s = bar(brief)
    one, many = of_bar(s), of_pieces(brief, 30.0)
    scale = np.sqrt(np.outer(many.diagonal(), many.diagonal()))
    assert np.abs((one - many) / scale).max() < 1e-6


def test_screws_shift_as_columns_and_turn_as_a_pair():
    """24 E I / g³ either way with the ends held; 2 E (I + A c²) / g about the line across the pair, no block."""
    d, g, c = 13.5, 40.0, 20.0
    area, i = math.pi / 4 * d * d, math.pi / 64 * d**4
    s = in_one((p := screw_piece(d, 0.0, 2, c, 0.0, g),), 0.0, (PAIR, PAIR, 0.0), p)
    assert (s.i_y, s.i_z) == (pytest.approx(2 * i), pytest.approx(2 * (i + area * c * c)))
    assert s.area == pytest.approx(2 * area) and (s.low, s.length) == (0.0, g)
    column = 1 / (g**3 / (12 * E * i) + g / (G * SHEAR * area))
    assert s.sideways == pytest.approx(2 * column)
    for i_k, shear in ((s.i_y, s.shear_z), (s.i_z, s.shear_y)):
        assert 1 / (g**3 / (12 * E * i_k) + g / (G * shear)) == pytest.approx(2 * column)


def test_a_block_adds_little_and_height_much():
    low, high = bar(asked(jack=130.0)), bar(asked(jack=230.0))
    assert low.sideways == pytest.approx(8 * high.sideways, rel=0.05)  # g 100 and 200 mm: cubes, less some shear
    assert block_piece(50.0, 30.0, 13.5).turn[0] < 0.02 * screw_piece(13.5, 0.0, 2, 0.0, 30.0, 20.0).turn[0]


def test_the_pair_lies_where_the_blocks_screws_lie():
    brief = asked()
    assert bar(brief).y == pytest.approx((PAIR, PAIR, 0.0))
    leaning = (PAIR, PAIR, 0.0)
    assert bar(brief, slot=6.0, axis=leaning).y == pytest.approx((PAIR, -PAIR, 0.0))


def test_bolted_down_and_shims_are_solid():
    flat, shims = bar(asked("bolted down", jack=0.0)), bar(asked("shims", jack=3.0))
    assert flat.area == pytest.approx(math.pi / 4 * 30.0**2) == pytest.approx(shims.area)
    assert "bosses" in flat.assumption and "shims" in shims.assumption
    screws = bar(asked())
    assert "lock nut" in screws.assumption and screws.sideways < 0.2 * flat.sideways


def test_impossible_screws_still_give_a_bar():
    for brief in (asked(jack=10.0), asked(jack=31.0), asked("hollow jacking screws", screw="M12"), asked(screw="M6")):
        s = bar(brief)
        values = (s.area, s.i_y, s.i_z, s.j, s.shear_y, s.shear_z, s.length, s.sideways)
        assert all(math.isfinite(v) and v > 0 for v in values)


def test_a_stand_on_screws_sways_more_under_its_machine_and_keeps_its_elements():
    brief = load_brief(SAMPLES / "bench-lathe.toml")
    stands = []
    for seating, jack in (("shims", 12.0), ("jacking screws", 80.0)):
        m = replace(brief.mounting, seating=seating, jack=jack, block_height=30.0, block=50.0, screw="M10")
        stands.append(evaluate(replace(brief, mounting=m)).strength)
    flat, screws = stands
    assert len(flat.model.elements) == len(screws.model.elements)
    assert screws.bed is not None and flat.bed is not None and screws.bed.bed_stiffness < flat.bed.bed_stiffness
    assert any("lock nut" in a for a in screws.assumptions)

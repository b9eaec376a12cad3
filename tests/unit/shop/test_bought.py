"""What is bought: counts are the frame's own holes, feet and casters; bolts reach; what is drawn is what is listed."""

from __future__ import annotations

import math
import random
import re
from dataclasses import replace
from functools import cache
from itertools import pairwise
from pathlib import Path

import pytest

from framecore.brief import load_brief
from framecore.brief.model import Brief, Machine
from framecore.catalogue import thread as find_thread
from framecore.catalogue.bolts import class_of, class_words
from framecore.frame.model import Role
from framecore.seat.hardware import full_nut, sold_length
from framecore.seat.holes import washer
from framecore.shop._say import bolt_words
from framecore.shop.placed import bodies
from framecore.stand import evaluate

SAMPLES = sorted((Path(__file__).parents[3] / "samples").glob("*.toml"))


def random_brief(seed: int) -> Brief:
    """A stand that can be built, with every kind of seating, panels, wheels and anchors among many seeds."""
    r = random.Random(seed)
    x, y = r.uniform(150, 350), r.uniform(60, 120)
    holes = tuple((a * x, b * y) for a in (-1, 1) for b in (-1, 1))
    b = Brief(machine=Machine(holes=holes, bolt=r.choice(["M8", "M10", "M12", "3/8-16"])))
    seating = r.choice(["bolted down", "jacking screws", "hollow jacking screws", "shims"])
    panel = [r.choice(["none", "sheet panel", "diagonal"]) for _ in range(3)]
    return replace(
        b,
        frame=replace(b.frame, length=r.uniform(900, 1400), depth=r.uniform(450, 700), height=r.uniform(600, 850),
                      sections=replace(b.frame.sections, bearers=r.choice(["SHS 60x60x3", "SHS 80x80x4", "RHS 100x60x4"]))),
        braces=replace(b.braces, back=panel[0], left=panel[1], right=panel[2], panel_pitch=r.uniform(80, 250),
                       panel_fixing=r.choice(["bolted", "welded"]), panel_thickness=r.choice([1.0, 1.5, 3.0])),
        top=replace(b.top, kind=r.choice(["none", "sheet", "wood", "tray"]), thickness=2.0),
        mounting=replace(b.mounting, seating=seating, screw=r.choice(["M12", "M20"]), block=80.0, jack=r.choice([55.0, 70.0]),
                         foot_thickness=r.choice([0.0, 12.0, 30.0]), bolt_class=r.choice(["4.6", "8.8"])),
        casters=replace(b.casters, kind=r.choice(["none", "four, lowered to roll", "two, tilt to roll"]), wheel=50.0),
        floor=replace(b.floor, anchor=r.choice(["none", "M10"]), kind=r.choice(["concrete", "wood"])),
    )  # fmt: skip


@cache
def built(case):
    return evaluate(random_brief(case) if isinstance(case, int) else load_brief(case))


@pytest.fixture(params=[*SAMPLES, *range(40)], ids=lambda case: f"random {case}" if isinstance(case, int) else case.stem)
def stand(request):
    return built(request.param)


def count(stand, what, where=""):
    return sum(b.count for b in stand.shop.bought if b.what == what and where in b.where)


def test_counts_are_the_frames_own(stand):
    frame, brief = stand.frame, stand.brief
    feet, held = len(frame.feet), sum(m.hole > 0 for m in frame.mounts)
    assert count(stand, "levelling foot") == feet
    assert count(stand, "lock nut", "feet's studs") == feet
    assert count(stand, "holding-down bolt") == held
    assert count(stand, "nut", "machine feet") == held
    assert count(stand, "washer", "heads and nuts") == 2 * held
    tapped = [h for h in frame.holes if h.purpose.startswith("jack ") and h.tapped]
    assert count(stand, "lock nut", "jacking screws") == len(tapped)
    screws = [b for b in stand.shop.bought if b.what.startswith("hexagon screw")]
    assert sum(b.count for b in screws) == len(tapped)
    assert all(b.size.startswith(tapped[0].tapped) for b in screws)
    assert count(stand, "set of slotted shims") == (held if brief.mounting.seating == "shims" else 0)
    anchored = feet if brief.floor.anchor != "none" else 0
    assert count(stand, "coach screw" if brief.floor.kind == "wood" else "anchor bolt") == anchored
    wheels = count(stand, "swivel caster with threaded stem") + count(stand, "wheel")
    assert wheels == len(frame.casters)
    motor = sum(h.purpose.startswith("motor foot") for h in frame.holes)
    assert count(stand, "motor bolt") == count(stand, "nut", "motor plate") == motor
    assert count(stand, "hose tail with lock nut and seal") == sum(h.purpose == "drain" for h in frame.holes)
    assert count(stand, "screw with nut and washers") == sum(h.purpose.startswith("switch box") for h in frame.holes)


def test_a_foots_stud_is_as_long_as_its_working_asks(stand):
    """The order and the workings say one length; a pad and a foot too low for their thread do not shorten it."""
    bought = [b for b in stand.shop.bought if b.what == "levelling foot"]
    if not bought or stand.brief.units != "metric":
        return
    (said,) = re.findall(r"stud at least (\d+) mm long", bought[0].size)
    assert int(said) >= stand.figures["feet.stud_length"].value


def test_panel_screws_are_as_many_as_the_plates_say(stand):
    told = 0
    for p in stand.frame.plates:
        found = re.search(r"(\d+) screws, at most", p.note)
        told += int(found[1]) if found else 0
    sheet_top = [p for p in stand.frame.plated if p.plate == "top" and p.fixing == "bolted"]
    for p in sheet_top:
        # A screw at each corner, and no gap along the ring over the pitch.
        points = {j.name: j.point for j in stand.frame.joints}
        around = sum(math.dist(points[a], points[b]) for a, b in zip(p.ends, (*p.ends[1:], p.ends[0]), strict=True))
        assert around / p.pitch <= p.count < around / p.pitch + 4
        told += p.count
    kinds = ("panel screw", "self-drilling screw", "screw into a tapped hole")
    assert sum(count(stand, k) for k in kinds) == told
    assert count(stand, "rivet nut") == count(stand, "panel screw")


def test_bolts_reach_through_foot_gap_and_steel_and_are_the_shortest_that_do(stand):
    brief, frame = stand.brief, stand.frame
    thread = find_thread(brief.machine.bolt)
    disc, nut = washer(thread.id).thickness, full_nut(thread.id).height
    members = {m.name: m for m in frame.members}
    for bolts in stand.shop.seat.bolts:
        foot = brief.mounting.foot_thickness or bolts.foot
        for name in bolts.mounts:
            mount = next(m for m in frame.mounts if m.name == name)
            m = members.get(mount.member)
            if m is not None:
                under = m.start.point[2] - (m.profile.height if abs(m.z_axis[2]) > 0.5 else m.profile.width) / 2
            else:
                under = next(p.origin[2] for p in frame.plates if p.name == "head plate")
            grip = mount.point[2] + brief.mounting.jack + foot - under
            need = grip + bolts.rise + 2 * disc + nut + 2 * thread.pitch
            assert bolts.needed == pytest.approx(need)
            assert bolts.length == sold_length(thread, need) >= need - 1e-6
        line = next(b for b in stand.shop.bought if f"holding-down bolt {name.split()[1]}" in b.parts)
        assert line.size == f"{bolt_words(thread, bolts.length)}, {class_words(class_of(thread, brief.mounting.bolt_class))}"
        assert ("assumed" in line.note) == (brief.mounting.foot_thickness == 0)


def test_what_is_drawn_is_listed_and_sits_on_its_host(stand):
    shop = stand.shop
    found = bodies(stand.brief, stand.frame, shop.seat)
    parts = set(stand.solids.layout.parts)
    for b in found:
        assert b.name in shop.bought_of, b.name
        assert b.host in parts and b.high > b.low and b.radius > 0
        k = stand.solids.layout.parts.index(b.host)
        z = stand.solids.vertices[stand.solids.layout.vertex_part == k][:, 2]
        # On top of its host nothing begins below its upper face, under it nothing ends above its lower face.
        assert b.low > z.max() - 0.01 if b.out > 0 else b.high < z.min() + 0.01
    names = {b.name for b in found}
    listed = {n for line in shop.bought if line.what in ("holding-down bolt", "nut", "washer") for n in line.parts}
    assert listed <= names
    for stack in {b.stack for b in found}:
        own = [b for b in found if b.stack == stack]
        for near, far in pairwise(own):
            assert far.low >= near.low - 1e-6 if near.out > 0 else far.high <= near.high + 1e-6


def test_marks_are_in_order_and_every_line_has_its_words(stand):
    lines = stand.shop.bought
    assert [b.mark for b in lines] == [f"S{n}" for n in range(1, len(lines) + 1)]
    assert all(b.count > 0 and b.what and b.size and b.where for b in lines)
    figure = stand.figures["steel.bought"]
    assert figure.value == sum(b.count for b in lines)
    assert len(figure.working.steps) == len(lines)
    assert stand.figures["steel.cost"].value == pytest.approx(sum(o.cost for o in stand.shop.order))


def test_a_thicker_foot_takes_a_longer_bolt():
    b = random_brief(1)
    lengths = []
    for thick in (5.0, 20.0, 60.0):
        s = evaluate(replace(b, mounting=replace(b.mounting, foot_thickness=thick)))
        lengths.append(s.shop.seat.bolts[0].length)
    assert lengths[0] < lengths[1] < lengths[2]


def test_a_wooden_top_is_bolted_to_every_rail_it_lies_on():
    s = evaluate(load_brief(next(p for p in SAMPLES if p.stem == "workbench")))
    line = next(b for b in s.shop.bought if b.what == "coach bolt")
    rails = [m for m in s.frame.members if m.role is Role.TOP_RAIL]
    assert all(m.name in line.where for m in rails)
    assert line.count == sum(max(2, math.ceil(m.length / 400)) for m in rails)
    top = s.frame.plate("top").thickness
    assert float(line.size.split(" × ")[1]) >= top + rails[0].profile.height + full_nut("M8").height


def test_the_board_and_the_screws_of_its_backstop_are_bought():
    s = evaluate(load_brief(next(p for p in SAMPLES if p.stem == "workbench")))
    board = next(b for b in s.shop.bought if b.what == "wooden board")
    drawn = next(q for q in s.shop.plates if "top" in q.names)
    assert [float(x) for x in board.size.split(" × ")] == [drawn.length, drawn.width, drawn.thickness]
    screws = next(b for b in s.shop.bought if b.what == "wood screw")
    long = next(q for q in s.shop.plates if "backstop" in q.names).length
    assert long / (screws.count - 1) <= 300 < long / (screws.count - 2)


@pytest.mark.parametrize(
    ("name", "length", "words"),
    [("M10", 90.0, "M10 × 90"), ("1/2-13", 3.25 * 25.4, "1/2-13 × 3-1/4 in"), ("3/8-16", 25.4 * 4, "3/8-16 × 4 in"),
     ("1/4-20", 25.4 * 0.75, "1/4-20 × 3/4 in")],
)  # fmt: skip
def test_bolts_are_named_as_they_are_asked_for(name, length, words):
    assert bolt_words(find_thread(name), length) == words


def test_crush_sleeves_are_on_the_list_as_often_as_they_are_drawn(stand):
    told = sum(b.count for b in stand.shop.bought if b.what == "tube for a crush sleeve")
    assert told == sum(s.count for s in stand.shop.seat.sleeves)

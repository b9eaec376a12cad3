"""Every bolted thing has its fasteners on the order, or a sentence says why not: asked of the frame, part by part."""

from __future__ import annotations

import re
from collections import Counter
from functools import cache
from pathlib import Path

import pytest

from framecore.catalogue import thread as find_thread
from framecore.frame.model import PlateRole
from framecore.seat.hardware import full_nut
from framecore.shop._fixings import VICE_BOLTS, VICE_FOOT
from tests.unit.shop.work_samples import RANDOM, SAMPLES, of_text, random_stand, stand

SAW = (Path(__file__).parents[3] / "samples" / "saw-on-wheels.toml").read_text(encoding="utf-8")
BENCH = (Path(__file__).parents[3] / "samples" / "workbench.toml").read_text(encoding="utf-8")
# Written briefs for what no sample has.
BRIEFS = {
    "bearers over a tray": SAW.replace("[frame]\n", '[frame]\nbearer_place = "over the ring"\n', 1),
    "backstop on a sheet top": BENCH.replace('kind = "wood"', 'kind = "sheet"').replace("thickness = 40", "thickness = 4"),
    "backstop on a bare ring": BENCH.replace('kind = "wood"', 'kind = "none"'),
    "vice without a board": BENCH.replace('kind = "wood"', 'kind = "none"').replace("backstop = 80", "backstop = 0"),
    "panels on thin tube": SAW.replace("[frame]\n", '[braces]\nleft = "sheet panel"\npanel_fixing = "bolted"\n\n[frame]\n', 1),
    "tray without a machine": re.sub(r"holes = \[.*\]", "holes = []", SAW),
    "anchored": SAW.replace("[floor]\n", '[floor]\nanchor = "M10"\n', 1),
}  # fmt: skip
# What a hole's purpose begins with -> what is bought for it, and how many for each hole.
FOR_HOLE = {"motor foot": "motor bolt", "switch box": "screw with nut and washers", "drain": "hose tail with lock nut and seal"}


@cache
def written(name):
    return of_text(BRIEFS[name])


def missing(s):
    """Names and purposes of what has neither a fastener nor a sentence."""
    f, shop = s.frame, s.shop
    parts = {n for b in shop.bought for n in b.parts}
    words = " ".join([*shop.unbolted, *(b.where for b in shop.bought)])
    count = Counter()
    for b in shop.bought:
        count[b.what] += b.count
    out = []
    holes = Counter()
    for h in f.holes:
        what, _, place = h.purpose.rpartition(" ")
        if what == "machine foot":
            wanted = {f"holding-down bolt {place}", f"nut {place}", f"washers {place}"}
            out += sorted(wanted - parts)
        elif what == "foot" or what == "caster":
            out += [] if h.purpose in parts else [h.purpose]
        elif h.purpose.startswith("jack "):
            out += [] if any(p.endswith(h.purpose.removeprefix("jack ")) and "screw" in p for p in parts) else [h.purpose]
        else:
            key = next((k for k in FOR_HOLE if h.purpose.startswith(k)), None)
            assert key is not None, f"nobody knows what goes into the hole for {h.purpose}"
            holes[key] += 1
    out += [k for k, n in holes.items() if count[FOR_HOLE[k]] != n]
    out += [m.name for m in f.mounts if not m.hole and m.name not in words]
    out += [x.name for x in f.feet if x.name not in parts]
    welded = {frozenset(w.parts) for w in s.work().welds}
    held = {n for pair in welded for n in pair}
    sheets = {p.sheet for p in f.plates if p.sheet and (p.name in parts or p.sheet in words)}
    out += [
        p.name for p in f.plates
        if p.name not in held | parts and p.sheet not in sheets and not re.search(rf"\b{p.name}\b", words)
    ]  # fmt: skip
    for j in f.joints:
        for n in j.members[1:]:
            joined = any(n in pair and pair & set(j.members) - {n} for pair in welded) or any(
                {frozenset((n, p.name)), frozenset((o, p.name))} <= welded for p in f.plates for o in j.members if o != n
            )
            out += [] if joined or n in parts else [f"{n} at {j.name}"]
    if any(p.name == "vice plate" for p in f.plates) and count["vice bolt"] != VICE_BOLTS:
        out.append("vice")
    if f.feet and not {"anchor bolt", "coach screw"} & set(count) and "unanchored" not in words:
        out.append("anchors")
    return out


def check_nuts(s):
    """Of every thread there is a nut for each through bolt, and a washer at least."""
    bolts, nuts, washers = Counter(), Counter(), Counter()
    for b in s.shop.bought:
        size = re.split(r" × |,", b.size.removeprefix("for "))[0].strip()
        if b.what in ("holding-down bolt", "motor bolt", "vice bolt", "bearer bolt", "coach bolt", "axle bolt"):
            bolts[size] += b.count
        elif b.what in ("nut", "self-locking nut"):
            nuts[size] += b.count
        elif b.what == "washer":
            washers[size] += b.count
    for size, n in bolts.items():
        assert nuts[size] >= n and washers[size] >= n, size


@pytest.mark.parametrize("name", SAMPLES)
def test_nothing_bolted_is_missing_on_the_order_of_a_sample(name):
    assert missing(stand(name)) == []
    check_nuts(stand(name))


@pytest.mark.parametrize("name", BRIEFS)
def test_nothing_bolted_is_missing_on_the_order_of_other_briefs(name):
    assert missing(written(name)) == []
    check_nuts(written(name))


def test_nothing_bolted_is_missing_on_the_order_of_random_stands():
    for s in filter(None, map(random_stand, RANDOM)):
        assert missing(s) == [], s.brief.frame.layout
        check_nuts(s)


def test_a_vice_is_bolted_through_board_and_plate_and_drills_them_itself():
    s = stand("workbench")
    (bolt,) = [b for b in s.shop.bought if b.what == "vice bolt"]
    length = float(re.match(r"M12 × (\d+)", bolt.size)[1])
    grip = VICE_FOOT + s.frame.plate("top").thickness + s.frame.plate("vice plate").thickness
    assert length >= grip + full_nut("M12").height and bolt.count == 4 and "assumed" in bolt.note
    (step,) = [t for t in s.work().steps if "vice" in t.title]
    assert step.stage == "drill" and f"board and plate {find_thread('M12').medium:g} mm" in step.text
    assert not [t for t in stand("bench-lathe").work().steps if "vice" in t.title]
    (bare,) = [t for t in written("vice without a board").work().steps if "vice" in t.title]
    assert "the plate 13.5 mm" in bare.text


def test_bearers_over_a_tray_are_bolted_through_it():
    s = written("bearers over a tray")
    (bolt,) = [b for b in s.shop.bought if b.what == "bearer bolt"]
    crossings = [j for j in s.frame.joints if j.kind == "bearer on rail"]
    assert bolt.count == len(crossings) == 4 and set(bolt.parts) == {"bearer 1", "bearer 2"}
    rail, bearer = s.frame.member("top rail front").profile, s.frame.member("bearer 1").profile
    assert float(re.match(r"M10 × (\d+)", bolt.size)[1]) > rail.height + bearer.height
    assert not [b for b in stand("saw-on-wheels").shop.bought if b.what == "bearer bolt"]
    assert any("bolt them, sealed in the tray" in t.text for t in s.work().steps)


def test_a_backstop_is_stitched_where_no_board_holds_its_screws():
    for name in ("backstop on a sheet top", "backstop on a bare ring"):
        own = [w for w in written(name).work().welds if "backstop" in w.parts]
        assert own and all(w.pitch for w in own)
        assert not [b for b in written(name).shop.bought if b.what == "wood screw"]
    assert not [w for w in stand("workbench").work().welds if "backstop" in w.parts]


def test_what_rests_or_hangs_by_other_bolts_is_said():
    assert any("mount 1, mount 2 and mount 3" in t for t in stand("surface-plate").shop.unbolted)
    assert any(t.startswith("The tray, block 1") for t in stand("saw-on-wheels").shop.unbolted)
    assert not any("unanchored" in t for t in written("anchored").shop.unbolted)


def test_a_tray_that_no_bolt_goes_through_is_screwed_on_at_its_corners():
    s = written("tray without a machine")
    assert not s.frame.mounts and any(p.role is PlateRole.TRAY for p in s.frame.plates)
    (screw,) = [b for b in s.shop.bought if "tray bottom" in b.parts]
    assert screw.count == 4 and screw.what == "self-drilling screw"
    assert not [b for b in stand("saw-on-wheels").shop.bought if "tray bottom" in b.parts]


def test_wheels_too_small_for_brackets_on_the_legs_are_left_out():
    bare = SAW.replace("[feet]\n", "[feet]\nheight = 110.0\n", 1)
    s = of_text(bare)
    assert any(f.code == "frame.casters_left_out" and "hang lower than the legs begin" in f.message for f in s.findings)
    assert not s.frame.casters and not [p for p in s.frame.plates if p.role is PlateRole.BRACKET and "caster" in p.name]
    welded = {n for w in stand("saw-on-wheels").work().welds for n in w.parts}
    assert {p.name for p in stand("saw-on-wheels").frame.plates if "caster" in p.name} <= welded

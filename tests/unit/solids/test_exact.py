"""Exact shapes are closed, weigh what the sections weigh, and are drilled and ground as the frame says."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from framecore.brief import load_brief
from framecore.brief.model import Brief, Machine
from framecore.catalogue import profile
from framecore.errors import FramecoreError, Severity
from framecore.frame import build_frame
from framecore.frame.fitup import angle_root
from framecore.frame.model import Frame, Hole
from framecore.height import working_height
from framecore.solids import SolidsBuilder
from framecore.solids.exact import exact_parts
from tests.unit.stand.random_briefs import random_reading

SAMPLES = sorted((Path(__file__).parents[3] / "samples").glob("*.toml"))
HOLES = ((0.0, 0.0), (600.0, 0.0), (0.0, 180.0), (600.0, 180.0))


def brief(**more) -> Brief:
    b = Brief(machine=Machine(holes=HOLES))
    return replace(b, frame=replace(b.frame, **more))


def sample_frame(path: Path) -> Frame:
    b = load_brief(path)
    return build_frame(b, working_height(b).height)


def random_frames(count: int) -> list[Frame]:
    found, seed = [], 0
    while len(found) < count:
        seed += 1
        b = random_reading(seed).brief
        if b is None:
            continue
        try:
            frame = build_frame(b, working_height(b).height)
        except FramecoreError:
            continue
        if not any(f.severity is Severity.STOP for f in frame.findings):
            found.append(frame)
    return found


def assert_closed(part) -> None:
    f = part.faces.astype(np.int64)
    edges = np.concatenate([f[:, [0, 1]], f[:, [1, 2]], f[:, [2, 0]]])
    key, twin = (np.sort(edges[:, i] * 10**7 + edges[:, 1 - i]) for i in (0, 1))
    assert (np.diff(key) > 0).all(), part.name
    assert np.array_equal(key, twin), part.name
    assert part.volume > 0, part.name


def assert_weighs_as_its_section(frame: Frame) -> None:
    """Within 0.2 %, but for shapes whose area a printed table gives that is not the shape's own."""
    solids = SolidsBuilder().build(frame, 7850.0)
    members = {m.name: m for m in frame.members}
    for part, volume in zip(exact_parts(frame), solids.volumes, strict=True):
        assert_closed(part)
        if part.kind not in ("member", "plate"):
            continue
        own = part.name not in members or "table" not in members[part.name].profile.properties.origin
        assert part.volume == pytest.approx(volume, rel=0.002 if own else 0.02), part.name


@pytest.mark.parametrize("path", SAMPLES, ids=lambda p: p.stem)
def test_samples(path):
    frame = sample_frame(path)
    assert_weighs_as_its_section(frame)
    names = [p.name for p in exact_parts(frame)]
    assert names == [*(x.name for group in (frame.members, frame.plates, frame.feet, frame.casters) for x in group)]


def test_random_briefs():
    for frame in random_frames(30):
        assert_weighs_as_its_section(frame)


@pytest.mark.parametrize("name", ["SHS 50x50x3", "CHS 48.3x3.2", "L 50x50x5", "UPN 80", "RD 20", "FL 50x6"])
def test_a_square_cut_bar_is_its_section_times_its_length(name):
    p = profile(name)
    frame = build_frame(brief(legs="rails between"), 800.0)
    bar = replace(frame.member("leg FL"), profile=p)
    part = exact_parts(replace(frame, members=(bar,), plates=(), holes=(), joints=(), feet=()))[0]
    assert part.volume == pytest.approx(p.properties.area * math.dist(bar.start.point, bar.end.point), rel=0.002)


def test_rounded_corners_leave_the_sharp_box_empty():
    frame = build_frame(brief(legs="rails between"), 800.0)
    leg = frame.member("leg FL")
    part = next(p for p in exact_parts(frame) if p.name == "leg FL")
    off = np.abs(part.vertices[:, :2] - leg.start.point[:2])
    size = leg.profile.width / 2
    assert off.max() == pytest.approx(size, abs=1e-9)
    assert off.sum(1).max() < 2 * size - 0.5 * leg.profile.corner


def test_a_bolt_hole_goes_through_both_walls_and_only_there():
    frame = build_frame(brief(legs="rails between"), 800.0)
    hole = next(h for h in frame.holes if h.purpose == "machine foot 1")
    part = next(p for p in exact_parts(frame) if p.name == hole.owner)
    bar, wall = frame.member(hole.owner).profile, frame.member(hole.owner).profile.wall_design
    rim = np.abs(np.hypot(*(part.vertices[:, :2] - hole.centre[:2]).T) - hole.diameter / 2) < 1e-6
    levels = np.unique(np.round(hole.centre[2] - part.vertices[rim, 2], 4))
    assert levels == pytest.approx([0, wall, bar.height - wall, bar.height], abs=1e-3)


def test_a_slot_takes_its_stadium():
    frame = build_frame(brief(legs="rails between"), 800.0)
    pad = frame.plate("pad FL")
    hole = Hole(owner="pad FL", centre=(*pad.origin[:2], pad.origin[2] + pad.thickness), axis=(0.0, 0.0, -1.0),
                diameter=12.0, depth=pad.thickness, purpose="try", slot=15.0, slot_axis=(0.6, 0.8, 0.0))  # fmt: skip
    whole = replace(frame, holes=())
    full, cut = (next(p for p in exact_parts(f) if p.name == "pad FL") for f in (whole, replace(whole, holes=(hole,))))
    taken = (math.pi / 4 * 12.0**2 + 15.0 * 12.0) * pad.thickness
    assert full.volume - cut.volume == pytest.approx(taken, rel=0.003)
    along = (cut.vertices[:, :2] - hole.centre[:2]) @ (0.6, 0.8)
    across = (cut.vertices[:, :2] - hole.centre[:2]) @ (-0.8, 0.6)
    inner = np.hypot(along, across) < 20
    assert (along[inner].max(), across[inner].max()) == pytest.approx((13.5, 6.0), abs=1e-6)


def test_ring_corners_are_ground_so_that_they_sit_in_the_angle():
    b = brief(legs="wrapped angle", corners="mitred")
    b = replace(b, frame=replace(b.frame, sections=replace(b.frame.sections, legs="L 50x50x5")))
    frame = build_frame(b, 800.0)
    leg = frame.member("leg FL").profile
    size = angle_root(0.0, leg.root).chamfer
    rails = [p for p in exact_parts(frame) if p.name in ("top rail front", "top rail left")]
    corner = np.min([p.vertices.min(0)[:2] for p in rails], axis=0)
    # Nothing is left nearer to the sharp corner than the ground face, which is there.
    reach = min(float((p.vertices[:, :2] - corner).sum(1).min()) for p in rails)
    assert reach == pytest.approx(size, abs=1e-6)
    assert size > 3


def test_a_foot_reaches_from_the_floor_to_its_pad():
    frame = build_frame(brief(legs="rails between"), 800.0)
    part = next(p for p in exact_parts(frame) if p.name == "foot FL")
    foot = frame.feet[0]
    assert part.vertices[:, 2].min() == pytest.approx(0.0, abs=1e-9)
    assert part.vertices[:, 2].max() == pytest.approx(foot.top[2], abs=1e-9)
    assert (part.material, next(p for p in exact_parts(frame) if p.name == "pad FL").material) == ("fitting", "steel")

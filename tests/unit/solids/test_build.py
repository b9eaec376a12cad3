"""Meshes are closed, masses agree with the section tables, mitres meet."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from framecore.brief.model import Brief, Machine
from framecore.frame import build_frame
from framecore.solids import SolidsBuilder

HOLES = ((0.0, 0.0), (600.0, 0.0), (0.0, 180.0), (600.0, 180.0))


def brief(style="rails between", leg="SHS 50x50x3", **more):
    b = Brief(machine=Machine(holes=HOLES))
    return replace(b, frame=replace(b.frame, legs=style, sections=replace(b.frame.sections, legs=leg), **more))


STYLES = [("rails between", "SHS 50x50x3"), ("under the ring", "SHS 50x50x3"), ("wrapped angle", "L 50x50x5")]


@pytest.mark.parametrize(("style", "leg"), STYLES)
@pytest.mark.parametrize("shelf", ["sheet", "slats", "none"])
def test_every_part_is_closed_and_right_way_out(style, leg, shelf):
    s = SolidsBuilder().build(build_frame(brief(style, leg, shelf=shelf), 800.0), 7850.0)
    f = s.layout.faces
    directed = np.concatenate([f[:, [0, 1]], f[:, [1, 2]], f[:, [2, 0]]]).astype(np.int64)
    key = directed[:, 0] * 10**6 + directed[:, 1]
    twin = directed[:, 1] * 10**6 + directed[:, 0]
    assert len(np.unique(key)) == len(key)
    assert set(key) == set(twin)
    assert (s.volumes > 0).all()


def test_mass_is_section_mass_times_centroid_length():
    frame = build_frame(brief(), 800.0)
    s = SolidsBuilder().build(frame, 7850.0)
    leg = s.layout.parts.index("leg FL")
    area = frame.member("leg FL").profile.properties.area
    assert s.masses[leg] == pytest.approx(area * 748.0 * 7850e-9, rel=1e-12)


def test_mitred_pair_weighs_what_the_overlap_free_corner_weighs():
    mitred = SolidsBuilder().build(build_frame(brief("under the ring"), 800.0), 7850.0)
    frame = build_frame(brief("under the ring"), 800.0)
    rails = [i for i, p in enumerate(mitred.layout.parts) if p.startswith("top rail")]
    area = frame.member("top rail front").profile.properties.area
    # The centroid lines of a 1000 x 500 ring of 50 mm rails are 2 (950 + 450) mm long in all.
    assert mitred.volumes[rails].sum() == pytest.approx(area * 2 * (950 + 450), rel=1e-9)


def test_height_change_keeps_the_index_work():
    builder = SolidsBuilder()
    a = builder.build(build_frame(brief(), 800.0), 7850.0)
    b = builder.build(build_frame(brief(), 850.0), 7850.0)
    assert a.layout is b.layout
    assert b.mass > a.mass


def test_edge_faces_touch_their_edge():
    s = SolidsBuilder().build(build_frame(brief("wrapped angle", "L 50x50x5"), 800.0), 7850.0)
    lay = s.layout
    for (i, j), faces in zip(lay.edges, lay.edge_faces, strict=True):
        for f in faces:
            if f >= 0:
                assert {i, j} <= set(lay.faces[f])


def test_a_drilled_bearer_lacks_the_discs_of_both_walls():
    drilled = build_frame(brief(), 800.0)
    plain = replace(drilled, holes=())
    builder = SolidsBuilder()
    with_holes, without = builder.build(drilled, 7850.0), builder.build(plain, 7850.0)
    k = with_holes.layout.parts.index("bearer 1")
    # Two holes of 11 mm through two walls of 3 mm.
    assert without.volumes[k] - with_holes.volumes[k] == pytest.approx(2 * 2 * 3.0 * np.pi / 4 * 11.0**2, rel=1e-9)


@pytest.mark.parametrize("kind", ["four, lowered to roll", "two, tilt to roll"])
def test_casters_are_closed_discs_about_their_axles(kind):
    b = brief()
    frame = build_frame(replace(b, casters=replace(b.casters, kind=kind, end="back", wheel=100.0)), 800.0)
    s = SolidsBuilder().build(frame, 7850.0)
    assert s.layout.kinds.count("caster") == len(frame.casters) > 0
    for c in frame.casters:
        k = s.layout.parts.index(c.name)
        points = s.vertices[s.layout.vertex_part == k]
        axle = np.array((c.ground[0], c.ground[1], c.lift + 50.0))
        out = (points - axle) @ np.array(c.axis)
        assert sorted(set(np.round(out, 6))) == pytest.approx([-15.0, 15.0])
        np.testing.assert_allclose(np.linalg.norm(points - axle - out[:, None] * np.array(c.axis), axis=1), 50.0)
        # A right way out 24-sided disc: positive, a little under the round one.
        assert 0.98 < s.volumes[k] / (np.pi * 50.0**2 * 30.0) < 1.0
        np.testing.assert_allclose(s.centroids[k], axle, atol=1e-9)


def test_a_slot_takes_away_its_flanks_too():
    frame = build_frame(brief(), 800.0)
    plate = frame.plate("pad FL")
    hole = next(h for h in frame.holes if h.owner == "pad FL")
    slotted = replace(frame, holes=tuple(replace(h, slot=20.0) if h is hole else h for h in frame.holes))
    builder = SolidsBuilder()
    a, b = builder.build(frame, 7850.0), builder.build(slotted, 7850.0)
    k = a.layout.parts.index("pad FL")
    assert a.volumes[k] - b.volumes[k] == pytest.approx(20.0 * hole.diameter * plate.thickness)


def test_a_new_set_of_casters_makes_a_new_mesh():
    b = brief()
    builder = SolidsBuilder()
    plain = builder.build(build_frame(b, 800.0), 7850.0)
    four = replace(b, casters=replace(b.casters, kind="four, lowered to roll"))
    rolling = builder.build(build_frame(four, 800.0), 7850.0)
    larger = builder.build(build_frame(replace(four, casters=replace(four.casters, wheel=60.0)), 800.0), 7850.0)
    assert rolling.layout is not plain.layout
    assert larger.layout is rolling.layout
    assert len(rolling.layout.parts) == len(plain.layout.parts) + 8

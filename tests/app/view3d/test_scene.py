"""What the view shows stands where the brief says."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from app.theme import set_dark
from app.view3d.camera import Camera
from app.view3d.ink import edge_slopes
from app.view3d.scene import build_scene, rgb, unit_normals
from framecore.brief import load_brief
from framecore.stand import evaluate

SAMPLES = Path(__file__).parents[3] / "samples"


@pytest.fixture(scope="module")
def lathe():
    return evaluate(load_brief(SAMPLES / "bench-lathe.toml"))


@pytest.fixture(scope="module")
def mill():
    return evaluate(load_brief(SAMPLES / "bench-mill.toml"))


@pytest.mark.parametrize("which", ["lathe", "mill"])
def test_machine_stands_on_its_mounts(which, request):
    stand = request.getfixturevalue(which)
    scene, machine = build_scene(stand, frozenset()), stand.brief.machine
    points = scene.ghost.reshape(-1, 3)
    lowest = min(box.at[2] for box in machine.outline)
    assert points[:, 2].min() == pytest.approx(stand.frame.seat + stand.brief.mounting.jack + lowest)
    # The mounts are where the machine's holes are, so outline and holes are shifted alike.
    shift = np.array(stand.frame.mounts[0].point[:2]) - machine.holes[0]
    assert points[:, 0].min() == pytest.approx(min(box.at[0] for box in machine.outline) + shift[0])
    assert points[:, 1].max() == pytest.approx(max(box.at[1] + box.size[1] for box in machine.outline) + shift[1])


@pytest.mark.parametrize("which", ["lathe", "mill"])
def test_operator_is_to_scale_and_in_front(which, request):
    stand = request.getfixturevalue(which)
    scene, height = build_scene(stand, frozenset()), stand.height
    person = scene.person.reshape(-1, 3)
    assert scene.elbow[2] == pytest.approx(height.elbow)
    assert scene.elbow_line[:, 2] == pytest.approx([height.elbow] * 2)
    shoes = stand.brief.operator.shoes
    stature = (height.elbow - shoes) / 0.630
    assert person[:, 2].max() == pytest.approx(shoes + stature, rel=0.01)
    assert 0 <= person[:, 2].min() <= shoes
    assert person[:, 1].mean() < -stand.frame.depth / 2
    # The elbow lies within the arm.
    assert np.linalg.norm(person - scene.elbow, axis=1).min() < 0.03 * stature


def test_elbow_is_written_in_the_units_of_the_brief(lathe, mill):
    assert build_scene(lathe, frozenset()).elbow_text.endswith(" mm")
    assert build_scene(mill, frozenset()).elbow_text.endswith(" in")


def test_studs_reach_from_foot_to_pad(lathe):
    scene = build_scene(lathe, frozenset())
    for triangles, part, foot in zip(scene.studs, scene.stud_part, lathe.frame.feet, strict=True):
        assert scene.parts[part] == foot.name
        z = triangles[..., 2]
        assert (z.min(), z.max()) == pytest.approx((foot.base[2] + foot.base_height, foot.top[2]))


def test_rims_lie_on_their_parts(lathe):
    scene = build_scene(lathe, frozenset())
    assert len(scene.rims) == sum(h.axis[2] < -0.5 for h in lathe.frame.holes) > 0
    for rim, part in zip(scene.rims, scene.rim_part, strict=True):
        points = scene.triangles[scene.face_part == part].reshape(-1, 3)
        assert (rim[:, :2] >= points[:, :2].min(0)).all() and (rim[:, :2] <= points[:, :2].max(0)).all()


def test_only_lit_parts_change_colour(lathe):
    plain, lit = build_scene(lathe, frozenset()), build_scene(lathe, frozenset({"leg FL", "shelf"}))
    changed = (plain.face_colour != lit.face_colour).any(1)
    assert {lit.parts[k] for k in lit.face_part[changed]} == {"leg FL", "shelf"}


@pytest.mark.parametrize("dark", [False, True], ids=["light", "dark"])
def test_faces_stand_out_from_ink_and_paper(lathe, dark):
    from app.theme import palette
    from app.view3d.scene import edge_colour

    set_dark(dark)
    try:
        faces = build_scene(lathe, frozenset()).face_colour[: len(lathe.solids.layout.faces)]
        ink, paper = rgb(edge_colour()), rgb(palette().paper)
    finally:
        set_dark(False)
    members = np.array([k == "member" for k in lathe.solids.layout.kinds])[lathe.solids.layout.face_part]
    assert abs(faces[members] - ink).max(1).min() > 35
    assert abs(faces[members] - paper).max(1).min() > 25


@pytest.mark.parametrize("parallel", [False, True], ids=["perspective", "parallel"])
def test_edges_are_as_deep_as_the_faces_beside_them(lathe, parallel):
    scene = build_scene(lathe, frozenset())
    camera = Camera(parallel=parallel, width=800, height=600).fit(scene.points)
    kept, place, slope = edge_slopes(scene, camera.matrix, 800, 600)
    tri = scene.triangles
    normal = np.cross(tri[:, 1] - tri[:, 0], tri[:, 2] - tri[:, 0])
    normal /= np.linalg.norm(normal, axis=1)[:, None]
    toward = np.broadcast_to(camera.axes[2], tri[:, 0].shape) if parallel else camera.eye - tri[:, 0]
    seen = (normal * toward).sum(1) > 0
    assert set(kept) == set(np.flatnonzero(seen[scene.edge_faces].any(1)))
    inverse = np.linalg.inv(camera.matrix)
    tried = 0
    for side in (0, 1):
        face = scene.edge_faces[kept, side]
        rise = slope[:, 2 * side : 2 * side + 2]
        # Planes seen nearly on edge are held back; the rest is exact half a pixel beside the edge.
        exact = seen[face] & (np.linalg.norm(rise, axis=1) < 0.0039)
        spot = place[:, :2] + (0.4, -0.3)
        depth = place[:, 2] + rise @ (0.4, -0.3)
        cube = np.column_stack([2 * spot / (800, 600) - 1, 2 * depth - 1, np.ones(len(spot))]) @ inverse.T
        points = cube[:, :3] / cube[:, 3:]
        off = ((points - tri[face, 0]) * normal[face]).sum(1)
        tried += exact.sum()
        assert np.abs(off[exact]).max() < 1e-3
    assert tried > len(kept)
    assert set(np.unique(place[:, 3])) == {0.0, 1.0}


def test_outer_edges_are_convex_and_edges_in_a_bore_are_not(lathe):
    scene, layout = build_scene(lathe, frozenset()), lathe.solids.layout
    leg = layout.edge_part == layout.parts.index("leg FL")
    along = scene.vertices[scene.edges[leg]]
    upright = np.abs(along[:, 1, 2] - along[:, 0, 2]) > 100
    middle = along.mean(1)[:, :2] - along[upright].mean((0, 1))[:2]
    side = lathe.frame.member("leg FL").profile.width
    outside = np.abs(middle).max(1) > side / 2 - 1
    convex = scene.pieces.edge_convex[leg]
    assert convex[upright & outside].all() and not convex[upright & ~outside].any()
    assert outside.any() and (~outside).any()


def test_faces_that_meet_another_part_are_known(lathe):
    scene, layout = build_scene(lathe, frozenset()), lathe.solids.layout
    steel = scene.triangles[: len(layout.faces)]
    normal = np.cross(steel[:, 1] - steel[:, 0], steel[:, 2] - steel[:, 0])
    normal /= np.linalg.norm(normal, axis=1)[:, None]
    shelf = layout.face_part == layout.parts.index("shelf")
    # The shelf lies on its rails: its underside touches, its upper side does not.
    assert scene.pieces.face_touches[shelf & (normal[:, 2] < -0.9)].any()
    assert not scene.pieces.face_touches[shelf & (normal[:, 2] > 0.9)].any()


def test_bolts_and_nuts_are_closed_and_light_up_by_name(lathe):
    plain, lit = (build_scene(lathe, frozenset(names)) for names in ((), ("nut 2",)))
    small = plain.small
    assert {f"nut {n}" for n in range(1, 5)} <= set(small.names)
    # Six times the volume inside is above 0 only where every triangle turns its face outwards.
    for body in range(len(small.host)):
        own = small.triangles[small.face_body == body] - small.base[body]
        assert np.linalg.det(own).min() >= -1e-6 and np.linalg.det(own).sum() > 1.0
    changed = (plain.face_colour != lit.face_colour).any(1)
    assert {lit.parts[k] for k in lit.face_part[changed]} == {"nut 2"}
    assert changed.sum() == (lit.face_part == lit.parts.index("nut 2")).sum() > 0


@pytest.mark.parametrize("name", ["bench-lathe", "workbench"])
def test_which_faces_touch_is_what_looking_at_every_pair_finds(name):
    stand = evaluate(load_brief(SAMPLES / f"{name}.toml"))
    layout, triangles = stand.solids.layout, stand.solids.vertices[stand.solids.layout.faces]
    normal, near = unit_normals(triangles), 0.1
    level = np.einsum("ij,ij->i", normal, triangles[:, 0])
    low, high = triangles.min(1) - near, triangles.max(1) + near
    wanted = np.zeros(len(triangles), bool)
    for k in range(len(triangles)):
        other = (np.abs(level + level[k]) < near) & (normal @ normal[k] < -0.9999) & (layout.face_part != layout.face_part[k])
        wanted[k] = (other & (low <= high[k]).all(1) & (high >= low[k]).all(1)).any()
    touching = build_scene(stand, frozenset()).pieces.face_touches
    assert 0 < wanted.sum() < len(wanted) and (touching == wanted).all()

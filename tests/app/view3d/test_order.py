"""Convex pieces, their order and the depths of edges, against plain geometry."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from app.view3d.camera import Camera
from app.view3d.order import far_to_near, partings
from app.view3d.pieces import convex_pieces, pieces_of
from framecore.brief import load_brief
from framecore.frame import build_frame
from framecore.height import working_height
from framecore.solids import SolidsBuilder

SAMPLES = sorted((Path(__file__).parents[3] / "samples").glob("*.toml"))
# A square with a corner taken out, counter-clockwise.
CORNER = np.array([(0, 0), (4, 0), (4, 1), (1, 1), (1, 4), (0, 4)], float)


@pytest.fixture(params=SAMPLES, ids=lambda p: p.stem)
def mesh(request):
    brief = load_brief(request.param)
    frame = build_frame(brief, working_height(brief).height)
    solids = SolidsBuilder().build(frame, 7850.0)
    return solids, pieces_of(frame, solids.layout, solids.vertices)


def area(ring, corners):
    x, y = ring[corners].T
    return float(x @ np.roll(y, -1) - y @ np.roll(x, -1)) / 2


def test_corner_becomes_two_convex_pieces():
    triangles = [[0, 1, 2], [0, 2, 3], [0, 3, 4], [0, 4, 5]]
    found = convex_pieces(CORNER, triangles)
    assert len(found) == 2
    assert sorted(t for _, owned in found for t in owned) == [0, 1, 2, 3]
    assert sum(area(CORNER, corners) for corners, _ in found) == pytest.approx(7.0)
    for corners, owned in found:
        assert area(CORNER, corners) == pytest.approx(sum(area(CORNER, triangles[t]) for t in owned))


def test_every_piece_lies_behind_its_own_planes(mesh):
    solids, pieces = mesh
    a, b, c = (solids.vertices[pieces.planes[:, k]] for k in range(3))
    normal = np.cross(b - a, c - a)
    size = np.linalg.norm(normal, axis=1)
    assert size.min() > 0
    ends = [*pieces.point_from[1:], len(pieces.points)]
    for k, (first, stop) in enumerate(zip(pieces.point_from, ends, strict=True)):
        mine = pieces.plane_piece == k
        points = solids.vertices[pieces.points[first:stop]]
        out = ((points[:, None] - a[mine]) * (normal / size[:, None])[mine]).sum(2)
        assert out.max() < 1e-6


def test_pieces_share_out_all_faces(mesh):
    solids, pieces = mesh
    assert set(pieces.face_piece.tolist()) == set(range(pieces.count))
    covered = np.sort(np.concatenate([pieces.quad_face, pieces.quad_face + 1, pieces.cap_face]))
    assert covered.tolist() == list(range(len(solids.layout.faces)))
    # A quad's corners are those of its two triangles.
    both = np.concatenate([solids.layout.faces[pieces.quad_face], solids.layout.faces[pieces.quad_face + 1]], axis=1)
    assert all(set(q) == set(t) for q, t in zip(pieces.quads.tolist(), both.tolist(), strict=True))


@pytest.mark.parametrize("parallel", [False, True], ids=["perspective", "parallel"])
@pytest.mark.parametrize(("elevation", "azimuth"), [(24, -55), (10, 20), (60, 150), (-20, -120), (90, -90)])
def test_what_is_painted_last_is_what_a_ray_meets(mesh, parallel, elevation, azimuth):
    solids, pieces = mesh
    layout = solids.layout
    triangles = solids.vertices[layout.faces]
    camera = Camera(elevation=elevation, azimuth=azimuth, parallel=parallel).fit(solids.vertices)
    order = far_to_near(partings(solids.vertices, pieces), camera)
    assert sorted(order) == list(range(pieces.count))
    rank = np.empty(pieces.count, int)
    rank[order] = np.arange(pieces.count)
    rng = np.random.default_rng(7)
    met = wrong = 0
    for x, y in rng.uniform((200, 100), (600, 500), (80, 2)):
        origin, direction = camera.ray(x, y)
        way = ways(origin, direction, triangles)
        hit = np.flatnonzero(np.isfinite(way))
        if not len(hit):
            continue
        met += 1
        last = hit[np.lexsort([pieces.face_outer[hit], rank[pieces.face_piece[hit]]])[-1]]
        # A face painted last may lie in the plane of the nearest one, where parts touch.
        wrong += way[last] - way[hit].min() > 0.2
    assert met > 10
    assert wrong == 0


def ways(origin, direction, triangles):
    """How far along the ray each triangle that looks at the eye is met, inf where it is not."""
    a, b, c = (triangles[:, k] for k in range(3))
    looks = np.cross(b - a, c - a) @ direction < -1e-9
    out = np.full(len(triangles), np.inf)
    a, b, c = a[looks], b[looks], c[looks]
    # a + u (b - a) + v (c - a) = origin + t direction
    system = np.stack([b - a, c - a, np.broadcast_to(-direction, a.shape)], axis=2)
    u, v, t = np.linalg.solve(system, (origin - a)[..., None])[..., 0].T
    out[looks] = np.where((u >= 0) & (v >= 0) & (u + v <= 1), t, np.inf)
    return out

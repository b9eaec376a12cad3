"""Hidden lines: known answers on boxes, and rays cast at the pieces."""

import numpy as np
import pytest

from framecore.sheets.drawing.hidden import FRONT, LEFT, RIGHT, TOP, hidden_lines, pictorial
from tests.unit.sheets.shapes import boxes


def length(pieces):
    return float(np.hypot(*(pieces[:, 1] - pieces[:, 0]).T).sum())


@pytest.mark.parametrize("view", [FRONT, LEFT, RIGHT, TOP])
def test_one_cube_from_an_axis_is_a_square_without_hidden_lines(view):
    drawn = hidden_lines(*boxes(((0, 0, 0), (10, 10, 10))), view)
    assert len(drawn.visible) == 4 and length(drawn.visible) == pytest.approx(40)
    assert len(drawn.hidden) == 0


def test_one_cube_askew_shows_nine_edges_and_hides_three():
    drawn = hidden_lines(*boxes(((0, 0, 0), (10, 10, 10))), pictorial())
    assert len(drawn.visible) == 9 and len(drawn.hidden) == 3


def test_a_small_box_behind_a_large_one_is_hidden_whole():
    drawn = hidden_lines(*boxes(((0, 0, 0), (100, 10, 100)), ((40, 20, 40), (60, 30, 60))), FRONT)
    assert length(drawn.visible) == pytest.approx(400)
    assert length(drawn.hidden) == pytest.approx(80)


def test_a_rail_behind_a_leg_is_hidden_only_where_the_leg_stands():
    drawn = hidden_lines(*boxes(((40, 0, 0), (60, 10, 100)), ((0, 20, 50), (100, 30, 60))), FRONT)
    assert length(drawn.hidden) == pytest.approx(2 * 20)
    assert length(drawn.visible) == pytest.approx(2 * 100 + 2 * 20 + 2 * 80 + 2 * 10)


def test_boxes_in_line_merge_into_one_line():
    drawn = hidden_lines(*boxes(((0, 0, 0), (10, 5, 5)), ((10, 0, 0), (30, 5, 5))), FRONT)
    horizontal = [p for p in drawn.visible if abs(p[0, 1] - p[1, 1]) < 1e-6]
    assert sorted(abs(p[1, 0] - p[0, 0]) for p in horizontal) == pytest.approx([30, 30])


def test_side_views_look_from_the_side_they_are_named_after():
    mesh = boxes(((0, 0, 0), (10, 50, 10)), ((0, 40, 10), (10, 50, 30)))
    for view, x in ((LEFT, -50.0), (RIGHT, 50.0)):
        top = max(hidden_lines(*mesh, view).visible.reshape(-1, 2), key=lambda p: (p[1], abs(p[0])))
        assert top == pytest.approx((x, 30.0))


def blocked(p, direction, vertices, faces):
    """Whether a ray from p towards the eye meets a triangle (Moeller and Trumbore's test)."""
    a, b, c = (vertices[faces[:, i]] for i in range(3))
    e1, e2 = b - a, c - a
    h = np.cross(direction, e2)
    det = (e1 * h).sum(1)
    ok = np.abs(det) > 1e-12
    inv = 1 / np.where(ok, det, 1)
    s = p - a
    u = inv * (s * h).sum(1)
    q = np.cross(s, e1)
    v, t = inv * (q @ direction), inv * (e2 * q).sum(1)
    return bool((ok & (u > 0) & (v > 0) & (u + v < 1) & (t > 1e-3)).any())


def test_rays_agree_with_visible_and_hidden_pieces_of_random_boxes():
    rng = np.random.default_rng(5)
    low = rng.uniform(0, 100, (12, 3))
    mesh = boxes(*zip(low, low + rng.uniform(10, 60, (12, 3)), strict=True))
    vertices, faces, edges = mesh
    view = pictorial(0.7, 0.5)
    drawn = hidden_lines(*mesh, view)
    flat = view.flat(vertices)
    checked = 0
    for pieces, hidden in ((drawn.visible, False), (drawn.hidden, True)):
        for m in pieces.mean(axis=1):
            on = []
            for i, j in edges:
                d = flat[j] - flat[i]
                t = float((m - flat[i]) @ d / (d @ d))
                if 0 < t < 1 and np.hypot(*(flat[i] + t * d - m)) < 1e-6:
                    on.append(vertices[i] + t * (vertices[j] - vertices[i]))
            answers = {blocked(p, -view.forward, vertices, faces) for p in on}
            if len(answers) == 1:
                assert answers == {hidden}
                checked += 1
    assert checked > 150

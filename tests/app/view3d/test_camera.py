"""Cameras put points where a ray through the same pixel finds them again."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from app.view3d.camera import MARGIN, PRESETS, Camera
from app.view3d.pick import pick

POINTS = np.random.default_rng(4).uniform([-400, -250, 0], [400, 250, 900], (60, 3))
VIEWS = [(name, parallel, size) for name in PRESETS for parallel in (False, True) for size in ((900, 500), (300, 700))]


def camera(name, parallel, size):
    return Camera(parallel=parallel).sized(*size).turned(name).fit(POINTS)


@pytest.mark.parametrize(("name", "parallel", "size"), VIEWS)
def test_fit_touches_the_margin_and_stays_inside(name, parallel, size):
    c = camera(name, parallel, size)
    seen = c.project(POINTS)
    used = np.ptp(seen[:, :2], axis=0) / np.array(size)
    free = 1 - 2 * MARGIN
    assert used.max() == pytest.approx(free, abs=1e-9)
    edge = MARGIN * np.array(size)
    assert (seen[:, :2] >= edge - 1e-6).all() and (seen[:, :2] <= np.array(size) - edge + 1e-6).all()
    assert (np.abs(seen[:, 2]) <= 1).all()


@pytest.mark.parametrize(("name", "parallel", "size"), VIEWS)
def test_ray_of_a_projected_point_goes_through_it(name, parallel, size):
    c = camera(name, parallel, size)
    for point, (x, y, _) in zip(POINTS, c.project(POINTS), strict=True):
        origin, way = c.ray(x, y)
        along = (point - origin) @ way
        assert along > 0
        assert np.linalg.norm(point - origin - along * way) < 1e-6


def test_presets_look_where_they_say():
    right_up = {"front": ([1, 0, 0], [0, 0, 1]), "side": ([0, 1, 0], [0, 0, 1]), "top": ([1, 0, 0], [0, 1, 0])}
    for name, (right, up) in right_up.items():
        axes = Camera().turned(name).axes
        np.testing.assert_allclose(axes[:2], [right, up], atol=1e-12)
    with pytest.raises(ValueError, match="three-quarter"):
        Camera().turned("inside")


def test_parallel_and_perspective_agree_at_the_centre_plane():
    c = Camera(centre=np.array([10.0, 20.0, 30.0]))
    points = c.centre + np.array([[100.0, 50.0], [-30.0, 7.0]]) @ c.axes[:2]
    flat = replace(c, parallel=True)
    np.testing.assert_allclose(c.project(points)[:, :2], flat.project(points)[:, :2], atol=1e-9)


@pytest.mark.parametrize("parallel", [False, True])
def test_the_centre_follows_the_mouse_when_shifted(parallel):
    c = Camera(parallel=parallel)
    moved = c.pan(17, -9).project(c.centre)[0, :2] - c.project(c.centre)[0, :2]
    np.testing.assert_allclose(moved, [17, -9], atol=1e-9)


def test_what_lies_behind_the_eye_is_nowhere():
    c = Camera()
    assert np.isnan(c.project(c.eye + 100 * c.axes[2])).all()


def test_pick_takes_the_nearer_of_two_and_knows_a_miss():
    near = np.array([[0.0, -1.0, -1.0], [0.0, 1.0, -1.0], [0.0, 0.0, 1.0]])
    far = near + np.array([5.0, 0.0, 0.0])
    way = np.array([1.0, 0.0, 0.0])
    assert pick(np.array([-2.0, 0, 0]), way, np.stack([far, near])) == (1, pytest.approx(2.0))
    assert pick(np.array([1.0, 0, 0]), way, np.stack([far, near])) == (0, pytest.approx(4.0))
    assert pick(np.array([-2.0, 3, 0]), way, np.stack([far, near])) == (-1, np.inf)
    assert pick(np.array([-2.0, 0, 0]), np.array([0.0, 1.0, 0.0]), np.stack([far, near]))[0] == -1

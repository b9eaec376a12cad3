"""The formulas behind the properties, against limits that are known exactly."""

from math import pi, sqrt

import numpy as np
import pytest

from framecore.catalogue import _contour, _thinwall, _torsion


def test_ring_integrals_of_a_disc() -> None:
    ring = _contour.box(20.0, 20.0, 10.0)
    got = ring.integrals()
    assert got.area == pytest.approx(pi * 100.0, rel=1e-9)
    assert got.i_yy == pytest.approx(pi * 1e4 / 4.0, rel=1e-9)
    assert got.i_zz == pytest.approx(pi * 1e4 / 4.0, rel=1e-9)
    assert got.i_yz == pytest.approx(0.0, abs=1e-6)
    assert ring.perimeter() == pytest.approx(2.0 * pi * 10.0, rel=1e-12)


def test_one_rounded_corner_takes_a_spandrel() -> None:
    # the corner of a square: area (1 - pi/4) r2, its centroid (10 - 3 pi)/(12 - 3 pi) r from both sides
    b, r = 30.0, 12.0
    corners = np.array([[0.0, 0.0], [b, 0.0], [b, b], [0.0, b]])
    sharp = _contour.Ring(corners, np.zeros(4)).integrals()
    round_ = _contour.Ring(corners, np.array([r, 0.0, 0.0, 0.0])).integrals()
    lost = (1.0 - pi / 4.0) * r * r
    arm = (10.0 - 3.0 * pi) / (12.0 - 3.0 * pi) * r
    assert sharp.area - round_.area == pytest.approx(lost)
    assert sharp.s_y - round_.s_y == pytest.approx(lost * arm)
    own = (1.0 / 3.0 - pi / 16.0 - 1.0 / (9.0 * (4.0 - pi))) * r**4
    assert sharp.i_yy - round_.i_yy == pytest.approx(own + lost * arm * arm)
    assert sharp.i_yz - round_.i_yz == pytest.approx((19.0 / 24.0 - pi / 4.0) * r**4)


def test_root_fillet_adds_what_a_toe_takes() -> None:
    bare = _contour.angle(50.0, 50.0, 5.0, 0.0, 0.0).integrals().area
    assert bare == pytest.approx(475.0)
    assert _contour.angle(50.0, 50.0, 5.0, 7.0, 0.0).integrals().area - bare == pytest.approx(
        (1 - pi / 4) * 49.0
    )
    assert bare - _contour.angle(50.0, 50.0, 5.0, 0.0, 3.5).integrals().area == pytest.approx(
        (1 - pi / 4) * 24.5
    )


def test_plastic_modulus() -> None:
    rectangle = (_contour.box(10.0, 40.0, 0.0).corners,)
    assert _contour.plastic_modulus(rectangle, 1) == pytest.approx(10.0 * 40.0**2 / 4.0)
    assert _contour.plastic_modulus(rectangle, 0) == pytest.approx(40.0 * 10.0**2 / 4.0)
    tube = (*rectangle, _contour.box(6.0, 36.0, 0.0).corners[::-1])
    assert _contour.plastic_modulus(tube, 1, 0.0) == pytest.approx((10 * 40**2 - 6 * 36**2) / 4)
    # a T: flange 40 x 10 over web 10 x 40, equal areas, so the neutral axis is where they meet
    tee = np.array([[-5.0, 0], [5, 0], [5, 40], [20, 40], [20, 50], [-20, 50], [-20, 40], [-5, 40]])
    assert _contour.plastic_modulus((tee,), 1) == pytest.approx(400 * 5 + 400 * 20)


def test_torsion_of_rectangles() -> None:
    # Timoshenko and Goodier, table in art. 109: k1 and k2 of J = k1 a b3, W = k2 a b2
    for ratio, k1, k2 in (
        (1.0, 0.1406, 0.208),
        (2.0, 0.229, 0.246),
        (4.0, 0.281, 0.282),
        (10.0, 0.312, 0.312),
    ):
        j, w = _torsion.rectangle(10.0 * ratio, 10.0)
        assert j / (ratio * 1e4) == pytest.approx(k1, abs=0.0006)
        assert w / (ratio * 1e3) == pytest.approx(k2, abs=0.0011)
    j, w = _torsion.rectangle(1e5, 1.0)
    assert j == pytest.approx(1e5 / 3.0, rel=1e-4)
    assert w == pytest.approx(1e5 / 3.0, rel=1e-4)


def test_torsion_of_a_thin_square_tube_tends_to_bredt() -> None:
    j, _ = _torsion.hollow(100.0, 100.0, 0.1, 0.0, 0.0)
    assert j == pytest.approx(0.1 * 99.9**3, rel=1e-5)


def test_torsion_of_rounds() -> None:
    j, w = _torsion.circle(20.0)
    assert j == pytest.approx(pi * 1e4 / 2.0)
    assert w == pytest.approx(pi * 8000.0 / 16.0)
    tube, _ = _torsion.circle(20.0, 16.0)
    assert tube == pytest.approx(j - _torsion.circle(16.0)[0])


def test_torsion_of_an_angle_without_fillet_is_near_its_strips() -> None:
    j, _ = _torsion.angle(1000.0, 1000.0, 5.0, 0.0)
    assert j == pytest.approx(1995.0 * 125.0 / 3.0, rel=1e-3)


def test_shear_centre_of_a_thin_channel() -> None:
    # e = 3 b2 tf / (h tw + 6 b tf) behind the web's middle
    b, h, tw, tf = 40.0, 80.0, 2.0, 3.0
    line = np.array([[b, -h / 2], [0.0, -h / 2], [0.0, h / 2], [b, h / 2]])
    wall = _thinwall.open_wall(line, np.array([tf, tw, tf]), 0.0)
    e = 3 * b * b * tf / (h * tw + 6 * b * tf)
    assert wall.shear_centre == pytest.approx((-e, 0.0), abs=1e-9)
    # warping of a channel: tf b3 h2 / 12 x (3 b tf + 2 h tw) / (6 b tf + h tw)
    warping = tf * b**3 * h * h / 12 * (3 * b * tf + 2 * h * tw) / (6 * b * tf + h * tw)
    assert wall.warping == pytest.approx(warping, rel=1e-9)


def test_shear_centre_of_an_angle_is_the_crossing_of_its_legs() -> None:
    line = np.array([[57.5, 2.5], [2.5, 2.5], [2.5, 37.5]])
    for theta in (0.3, 0.9):
        # any pair of axes gives the crossing only if they are principal: turn until they are
        d = np.diff(line, axis=0)
        length = np.linalg.norm(d, axis=1)
        middle = 0.5 * (line[1:] + line[:-1])
        c = length @ middle / length.sum()
        m = middle - c
        iyy = float(np.sum(length * (m[:, 1] ** 2 + d[:, 1] ** 2 / 12)))
        izz = float(np.sum(length * (m[:, 0] ** 2 + d[:, 0] ** 2 / 12)))
        iyz = float(np.sum(length * (m[:, 0] * m[:, 1] + d[:, 0] * d[:, 1] / 12)))
        principal = 0.5 * np.arctan2(-2 * iyz, iyy - izz)
        wall = _thinwall.open_wall(line, np.full(2, 5.0), float(principal))
        assert wall.shear_centre == pytest.approx((2.5, 2.5), abs=1e-9), theta


def test_shear_areas() -> None:
    # a single upright wall is a rectangle: 5/6 of its area
    wall = _thinwall.open_wall(np.array([[0.0, -50.0], [0.0, 0.0], [0.0, 50.0]]), np.full(2, 4.0), 1e-9)
    assert wall.shear_2 == pytest.approx(5.0 / 6.0 * 400.0, rel=1e-6)
    assert _thinwall.box_shear_area(50.0, 50.0, 1.0) == pytest.approx(5.0 / 12.0 * 200.0)
    assert _thinwall.round_shear_area(100.0, 1.0) == pytest.approx(50.0)
    assert _thinwall.round_shear_area(100.0, 0.0) == pytest.approx(600.0 / 7.0)
    assert _thinwall.box_shear_area(1e-6, 50.0, 1.0) == pytest.approx(5.0 / 6.0 * 100.0, rel=1e-6)
    assert sqrt(_thinwall.box_shear_area(30.0, 60.0, 1.0)) > sqrt(_thinwall.box_shear_area(60.0, 30.0, 1.0))

"""Bolts in holes and holes from distances, against closed forms, other optimisers and chosen coordinates.

Sources: two holes fit when the distance between them does, so that the chance is one integral of a normal law, or
of a sum of uniform ones (Irwin and Hall); least worst fit of round holes: the smallest circle round the bolts'
places (GEOS, through shapely) made least over the turn by scipy; slotted ones: scipy's SLSQP on the exact turn;
floating fasteners, T = H - F (ASME Y14.5, from memory); Heron's triangle 13, 14, 15 with height 12 over 14.
A chance may differ by four standard deviations of its trials.
"""

from __future__ import annotations

import math
from itertools import combinations

import numpy as np
import pytest
import shapely
from scipy import integrate, optimize, stats

from framecore.seat._minimax import Holes, drop_on
from framecore.seat.fit import METHODS, NINETEEN_OF_TWENTY, allowed, drop_on_chances
from framecore.seat.pattern import Pair, pattern_from_pairs
from tests.validation.record import agree

NORMAL = "closed form: distance of two holes, normal errors, scipy.integrate"
IRWIN = "Irwin-Hall sum of four uniform pulls, closed form"
CIRCLE = "smallest enclosing circle (GEOS) over the turn (scipy)"
SLSQP = "scipy SLSQP, exact turn"


def sampling(chance: float, trials: int) -> float:
    return 4 * math.sqrt(max(chance * (1 - chance), 1 / trials) / trials)


def within(reach: float, deviation: float) -> float:
    """The chance that a normal error lies within ``reach`` either way, by integration."""
    value, _ = integrate.quad(stats.norm(scale=deviation).pdf, -reach, reach, epsabs=1e-12, limit=200)
    return value


@pytest.mark.parametrize("hole", [10.5, 11.0, 12.0])
@pytest.mark.parametrize("span", [(400.0, 0.0), (300.0, 250.0)])
def test_chance_of_two_holes_drilled_through_the_machine(hole, span):
    room, each = allowed(hole, 10.0), 0.6
    (got,) = drop_on_chances(((0.0, 0.0), span), (room,), "drill through the machine", each=each)
    want = within(2 * room, math.sqrt(2) * each / NINETEEN_OF_TWENTY)
    agree(got.value, want, abs=sampling(want, got.trials), what="chance of two holes", source=NORMAL)


@pytest.mark.parametrize("room", [0.2, 0.4])
def test_chance_of_two_holes_measured_with_a_chain_step(room):
    (got,) = drop_on_chances(((0.0, 0.0), (400.0, 0.0)), (room,), "measure and drill", each=0.5, pattern_error=0.3)
    chain = METHODS["measure and drill"].chain
    deviation = math.sqrt(2 * (0.5**2 + 0.3**2) + chain**2) / NINETEEN_OF_TWENTY
    want = within(2 * room, deviation)
    agree(got.value, want, abs=sampling(want, got.trials), what="chance with a chain step", source=NORMAL)


def test_chance_of_two_holes_through_paper_that_has_shrunk():
    length, room = 1200.0, 0.35
    (got,) = drop_on_chances(((0.0, 0.0), (0.0, length)), (room,), "punch through the template", each=0.2, pattern_error=0.1)
    scale = METHODS["punch through the template"].scale
    deviation = math.sqrt(2 * (0.2**2 + 0.1**2) + (scale * length) ** 2) / NINETEEN_OF_TWENTY
    want = within(2 * room, deviation)
    agree(got.value, want, abs=sampling(want, got.trials), what="chance through a paper template", source=NORMAL)


@pytest.mark.parametrize("room", [0.05, 0.1, 0.2])
def test_chance_of_two_holes_whose_bearers_are_pulled_along(room):
    """One hole a bearer, drilled without error: the distance changes by ((u1 - u2) - (u3 - u4))/2 of weld pulls."""
    low, high = METHODS["weld bearers last"].shrink
    holes = ((0.0, 0.0), (0.0, 400.0))
    (got,) = drop_on_chances(holes, (room,), "weld bearers last", each=0.0, carriers=(0, 1))

    def irwin_hall(x: float) -> float:
        return sum((-1) ** k * math.comb(4, k) * max(x - k, 0.0) ** 4 for k in range(5)) / 24

    reach = 2 * room / ((high - low) / 2)
    want = irwin_hall(2 + reach) - irwin_hall(2 - reach)
    agree(got.value, want, abs=sampling(want, got.trials), what="chance after welding", source=IRWIN)


def cases(seed, count, spread):
    rng = np.random.default_rng(seed)
    for _ in range(count):
        n = int(rng.integers(3, 9))
        places = rng.uniform(-1, 1, (n, 2)) * rng.uniform(100, 500, 2)
        yield rng, places, rng.normal(0, spread, (n, 2))


def turned(points, angle):
    c, s = math.cos(angle), math.sin(angle)
    return points @ np.array([[c, s], [-s, c]])


@pytest.mark.parametrize("spread", [0.3, 3.0])
def test_least_worst_fit_of_round_holes(spread):
    for _, places, off in cases(11, 100, spread):
        got = drop_on(off[None], np.zeros((1, *off.shape)), Holes(places))
        middle = places - places.mean(axis=0)

        def circle(angle, off=off, middle=middle):
            return shapely.minimum_bounding_radius(shapely.MultiPoint(turned(middle + off, angle) - middle))

        best = optimize.minimize_scalar(circle, bounds=(-0.2, 0.2), method="bounded", options={"xatol": 1e-10})
        agree(got.upper[0], best.fun, abs=1e-5, what="least worst distance, round holes", source=CIRCLE)


def test_least_worst_fit_of_slotted_holes():
    for rng, places, off in cases(12, 40, 0.5):
        n = len(places)
        angle = rng.uniform(0, math.pi, n)
        along = np.stack((np.cos(angle), np.sin(angle)), axis=1)
        half = rng.choice([0.0, 0.3, 0.8], n)
        got = drop_on(off[None], np.zeros((1, n, 2)), Holes(places, half, along))
        middle = places - places.mean(axis=0)

        def room(v, off=off, middle=middle, along=along, half=half):
            at = turned(middle + off, v[2] / 300) + v[:2] - middle
            way = np.clip((at * along).sum(axis=1), -half, half)
            return np.maximum(v[3], 0) ** 2 - ((at - way[:, None] * along) ** 2).sum(axis=1)

        first = float(np.hypot(*off.T).max()) + 0.1
        best = _slsqp(room, first)
        agree(got.upper[0], best, abs=1e-5, what="least worst distance, slotted holes", source=SLSQP)


def _slsqp(room, first):
    """The best of a few starts that ended inside every hole."""
    found = []
    for start in ([0, 0, 0, first], [0.1, -0.1, 0.1, 2 * first], [-0.2, 0.1, -0.3, 2 * first]):
        r = optimize.minimize(
            lambda v: v[3], start, constraints={"type": "ineq", "fun": room}, method="SLSQP",
            bounds=[(-9, 9)] * 3 + [(0, 9)], options={"ftol": 1e-13, "maxiter": 400},
        )  # fmt: skip
        if room(r.x).min() > -1e-9:
            found.append(r.fun)
    return min(found)


@pytest.mark.parametrize(("bolt", "hole"), [(10.0, 11.0), (8.0, 9.0), (16.0, 18.5)])
def test_floating_fastener_limit(bolt, hole):
    """Errors of T/2 in opposite directions are just borne, and none smaller are refused."""
    tolerance = hole - bolt
    rng = np.random.default_rng(5)
    places = np.array([[0.0, 0.0], [400.0, 0.0], [400.0, 150.0], [0.0, 150.0]])
    size, angle = tolerance / 2 * np.sqrt(rng.random((2000, 4))), rng.uniform(0, 2 * np.pi, (2000, 4))
    off = size[..., None] * np.stack((np.cos(angle), np.sin(angle)), axis=2)
    assert (drop_on(off, np.zeros_like(off), Holes(places)).upper <= tolerance / 2).all()
    opposed = np.array([[[-tolerance / 2, 0.0], [tolerance / 2, 0.0]]])
    got = drop_on(opposed, np.zeros_like(opposed), Holes(places[:2]))
    agree(2 * got.upper[0], tolerance, abs=1e-6, what="position tolerance of the holes", source="T = H - F")


@pytest.mark.parametrize("seed", range(8))
def test_coordinates_from_distances_of_chosen_points(seed):
    rng = np.random.default_rng(seed)
    count = int(rng.integers(3, 9))
    points = rng.uniform(0, 800, (count, 2))
    pairs = [Pair(a=i + 1, b=j + 1, distance=math.dist(points[i], points[j])) for i, j in combinations(range(count), 2)]
    got = np.array(pattern_from_pairs(count, pairs).holes)
    z, w = points @ (1, 1j), got @ (1, 1j)
    z = (z - z[0]) / (z[1] - z[0]) * abs(z[1] - z[0])
    if (z.imag * w.imag).sum() < 0:
        z = z.conj()
    agree(abs(w - z), 0.0, abs=1e-6, what="places from all distances", source="coordinates chosen at random, Pythagoras")


def test_herons_triangle():
    got = pattern_from_pairs(3, [Pair(a=1, b=2, distance=140), Pair(a=1, b=3, distance=130), Pair(a=2, b=3, distance=150)])
    agree(got.holes[2], (50.0, 120.0), abs=1e-9, what="third corner of 13, 14, 15", source="Heron")

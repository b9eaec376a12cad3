"""Exact buckling of a case, and the moments that second order adds, against the books.

Timoshenko and Gere, Theory of Elastic Stability, 2nd ed., from memory; the roots are worked out again here.
"""

import math
from dataclasses import replace

import numpy as np
import pytest
from scipy.optimize import brentq

from framecore.fem import FrameModel, assemble
from framecore.strength._buckling import exact_buckling
from framecore.strength._checks import amplification
from framecore.strength.model import Case, ModelMap
from tests.validation.record import agree

E, I, A, H = 210_000.0, 1.0e4, 1.0e4, 1000.0  # noqa: E741
CASES = (Case(id="light", label="", text=""), Case(id="heavy", label="", text=""))


def portal(parts, fixed):
    """Two legs H high and a beam H long, parted into ``parts`` elements each, held in its plane; loads on the legs' tops."""
    legs = [np.linspace((x, 0, 0), (x, 0, H), parts + 1) for x in (0.0, H)]
    beam = np.linspace((0, 0, H), (H, 0, H), parts + 1)[1:-1]
    nodes = np.vstack([*legs, beam])
    chain = [range(parts + 1), range(parts + 1, 2 * parts + 2), [parts, *range(2 * parts + 2, len(nodes)), 2 * parts + 1]]
    elements = np.array([(a, b) for line in chain for a, b in zip(list(line)[:-1], list(line)[1:], strict=True)])
    x = nodes[elements[:, 1]] - nodes[elements[:, 0]]
    x = x / np.linalg.norm(x, axis=1)[:, None]
    y = np.tile((0.0, 1.0, 0.0), (len(x), 1))
    springs = np.zeros((len(nodes), 6))
    springs[:, 1] = springs[:, 3] = springs[:, 5] = 1e9  # held in the plane of the portal
    for base in (0, parts + 1):
        springs[base, :3] = 1e12
        springs[base, 4] = 1e14 if fixed else 0.0
    model = FrameModel(
        nodes=nodes, elements=elements, axes=np.stack([x, y, np.cross(x, y)], axis=1), area=A, i_y=I, i_z=I, j=1e4, e=E,
        g=80_000.0, spring_nodes=np.arange(len(nodes)), spring_stiffness=springs,
    )  # fmt: skip
    axial = np.zeros((len(elements), 2))
    axial[: 2 * parts, 0], axial[: 2 * parts, 1] = -1.0, -2.0
    where = ModelMap(
        element_member=np.full(len(elements), -1, np.int32), element_part=("",) * len(elements),
        stations=np.zeros((len(elements), 2)), foot_nodes=np.array([], np.int32), mount_nodes=np.array([], np.int32),
    )  # fmt: skip
    return model, where, axial


@pytest.mark.parametrize(
    ("fixed", "factor"),
    [
        (False, brentq(lambda u: u * math.tan(u) - 6, 1.0, 1.5) ** 2),  # 1.8213
        (True, brentq(lambda u: u / math.tan(u) + 6, 2.0, 3.0) ** 2),  # 7.3792
    ],
)
def test_portal_that_sways(fixed, factor):
    """Equal legs and beam: k l tan k l = 6 on pinned feet, k l cot k l = -6 on fixed ones; the heavy case is half."""
    model, where, axial = portal(6, fixed)
    got, case, what = exact_buckling(assemble(model), where, axial, CASES)
    # Six elements a leg are 1e-4 high, the stretch of the legs 1e-4 low.
    agree(got, factor * E * I / H**2 / 2, rel=5e-4)
    assert (case, what) == ("heavy", "frame")


def test_printed_portal_factors():
    agree(brentq(lambda u: u * math.tan(u) - 6, 1.0, 1.5) ** 2, 1.8213, abs=5e-5)
    agree(brentq(lambda u: u / math.tan(u) + 6, 2.0, 3.0) ** 2, 7.3792, abs=5e-5)


def test_span_that_bows_between_its_joints():
    """A leg in one element cannot bow in the frame's answer: Euler's pi2 E I / L2 of the pinned strut stands beside it."""
    model, where, axial = portal(1, True)
    member = np.array([0, 1, 2], np.int32)
    thin = ModelMap(
        element_member=member, element_part=("leg FL", "leg FR", "rail"), stations=where.stations,
        foot_nodes=where.foot_nodes, mount_nodes=where.mount_nodes,
    )  # fmt: skip
    stiff = replace(model, i_y=np.full(3, I), i_z=np.full(3, I / 50))
    got, case, what = exact_buckling(assemble(stiff), thin, axial, CASES)
    agree(got, math.pi**2 * E * I / 50 / H**2 / 2, rel=1e-9)
    assert case == "heavy" and what.startswith("leg")


@pytest.mark.parametrize("share", [0.1, 0.2, 0.3, 0.4])
def test_amplified_deflection_of_a_beam_column(share):
    """Centre load on a strut under P = share of Euler's: 3 (tan u - u) / u3, u = pi / 2 sqrt(share); 1.6575 at 0.4.

    1 / (1 - share) is its first term: within 0.7 % (Timoshenko and Gere say so of art. 1.3).
    """
    u = math.pi / 2 * math.sqrt(share)
    exact = 3 * (math.tan(u) - u) / u**3
    if share > 0.1:
        agree(amplification(1 / share), exact, rel=0.007)
    else:
        assert amplification(1 / share) == 1.0  # from a factor of 10 on left out

"""Modes of every sample against OpenSees' eigensolver, and one bar against printed frequency factors.

OpenSees has no offset lumped mass: here each hangs on a stiff bar without mass, in either program. As in the static
comparison shear centres and shear flexibility are left out. The samples go once with their offsets and all mass in lumps
at the nodes, which both programs treat alike, and once straight between the nodes with consistent masses, where
OpenSees leaves out the rotary inertia of the sections and takes their torsion constant for their polar moment.

Sources: OpenSees (openseespy), run here. Blevins, Formulas for Natural Frequency and Mode Shape (1979), table 8-1: the
factors lambda of a uniform beam, 1.87510407 and 4.69409113 (clamped, free), 4.73004074 and 7.85320462 (clamped, clamped),
from memory.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from framecore.brief import load_brief
from framecore.fem import FrameModel, assemble, modes
from framecore.stand import evaluate
from tests.validation.peers import opensees_modes
from tests.validation.record import agree
from tests.validation.test_samples_peers import straight

SAMPLES = sorted(Path(__file__).parents[2].joinpath("samples").glob("*.toml"))
PLAIN = {"shear_centre": None, "shear_y": 0.0, "shear_z": 0.0}
STIFF = {"area": 1e4, "i_y": 1e10, "i_z": 1e10, "j": 1e10, "e": 2e5, "g": 8e4, "density": 0.0}


def with_masts(model: FrameModel) -> FrameModel:
    """The same model with every offset mass at the end of a stiff bar."""
    off = np.linalg.norm(model.mass_offset, axis=1) > 1e-9
    nodes, elements, axes = model.nodes, model.elements, model.axes
    at = model.mass_nodes.copy()
    for k in np.flatnonzero(off):
        x = model.mass_offset[k] / np.linalg.norm(model.mass_offset[k])
        y = np.cross((0.3, 0.5, 0.2), x)
        y /= np.linalg.norm(y)
        nodes = np.vstack([nodes, nodes[at[k]] + model.mass_offset[k]])
        elements = np.vstack([elements, (at[k], len(nodes) - 1)])
        axes = np.concatenate([axes, [(x, y, np.cross(x, y))]])
        at[k] = len(nodes) - 1
    count = int(off.sum())
    more = {n: np.append(model.per_element(n), [v] * count) for n, v in STIFF.items()}
    return replace(
        model, nodes=nodes, elements=elements, axes=axes, mass_nodes=at, mass_offset=None, shear_y=0.0, shear_z=0.0,
        offsets=np.concatenate([model.end_offsets, np.zeros((count, 2, 3))]), shear_centre=None, **more,
    )  # fmt: skip


def gathered(model: FrameModel, nodes: np.ndarray, mass: np.ndarray) -> FrameModel:
    """The same model with one lump a node: OpenSees keeps only the last one it is told."""
    at, which = np.unique(nodes, return_inverse=True)
    return replace(
        model, mass_nodes=at, mass=np.bincount(which, mass), mass_offset=None, mass_inertia=np.zeros((len(at), 3))
    )


@pytest.fixture(params=SAMPLES, ids=lambda p: p.stem, scope="module")
def model(request):
    return replace(evaluate(load_brief(request.param)).strength.model, **PLAIN)


def test_with_offsets_and_lumped_masses(model):
    masts = with_masts(model)
    half = masts.per_element("density") * masts.per_element("area") * masts.length / 2
    lumped = gathered(
        masts, np.concatenate([masts.mass_nodes, *masts.elements.T]), np.concatenate([masts.mass, half, half])
    )
    # A trace of the members' mass stays, as neither program likes a freedom without any.
    lumped = replace(lumped, density=masts.per_element("density") * 1e-6)
    agree(modes(assemble(lumped), 6).frequencies_hz, opensees_modes(lumped, 6), rel=1e-4)


def test_straight_with_consistent_masses(model):
    masts = with_masts(replace(straight(model), **PLAIN))
    masts = gathered(masts, masts.mass_nodes, masts.mass)
    ours, theirs = modes(assemble(masts), 6).frequencies_hz, opensees_modes(masts, 6)
    # The inertia that OpenSees leaves out lowers ours; most where a column turns about its own line.
    agree(ours[:2], theirs[:2], rel=1e-3)
    agree(ours, theirs, rel=1e-2)


@pytest.mark.parametrize(
    ("ends", "factors"),
    [((True, False), (1.87510407, 4.69409113)), ((True, True), (4.73004074, 7.85320462))],
    ids=["clamped and free", "clamped and clamped"],
)
def test_a_uniform_bar_against_printed_factors(ends, factors):
    n, length, area, i, e, rho = 40, 1000.0, 100.0, 1e3, 2e5, 7.85e-9
    nodes = np.zeros((n + 1, 3))
    nodes[:, 0] = np.linspace(0, length, n + 1)
    held = [k for k, on in zip((0, n), ends, strict=True) if on]
    model = FrameModel(
        nodes=nodes, elements=np.column_stack([np.arange(n), np.arange(1, n + 1)]), axes=np.tile(np.eye(3), (n, 1, 1)),
        area=area, i_y=i, i_z=1e3 * i, j=1e5 * i, e=e, g=8e4, density=rho, spring_nodes=np.array(held),
        spring_stiffness=np.full((len(held), 6), 1e13),
    )  # fmt: skip
    hz = modes(assemble(model), 2).frequencies_hz
    printed = np.array(factors) ** 2 / (2 * np.pi * length**2) * np.sqrt(e * i / (rho * area))
    # Rotary inertia, which the printed factors leave out, lowers them by about 1e-4 at this slenderness.
    agree(hz, printed, rel=5e-4)

"""50 seeded space frames against OpenSees (openseespy) and PyNite, and frequencies against OpenSees.

Frames 0-24 have no rigid offsets and go to both programs. Frames 25-49 have rigid offsets, which PyNite
lacks, and go to OpenSees alone (-jntOffset). Frames 0-24 go to OpenSees once more with shear deformation:
its ElasticTimoshenkoBeam takes no offsets, and PyNite has no shear deformation. Every frame has turned
principal axes and carries nodal loads and, as a case of its own, its weight as uniform member loads.
Difference allowed: 1e-8 of the largest displacement. Neither program knows a shear centre.
"""

from dataclasses import replace

import numpy as np
import pytest

from framecore.fem import STANDARD_GRAVITY, assemble, gravity, modes
from tests.unit.fem.frames import random_frame, random_loads
from tests.validation.peers import opensees_cases, opensees_modes, pynite_cases
from tests.validation.record import agree

PLAIN = range(25)
OFFSET = range(25, 50)


def answers(model):
    """Our displacements: three cases of nodal loads, then the weight."""
    loads = random_loads(model)
    weight = gravity(model, (0.1, -0.2, -1.0))[0][:, :, None]
    return loads, assemble(model).solve(np.concatenate([loads, weight], 2))


def local_weight(model):
    """Weight in N/mm along the local axes of each element, worked out here."""
    pull = np.array([0.1, -0.2, -1.0]) * STANDARD_GRAVITY
    return (model.density * model.area)[:, None] * np.einsum("mij,j->mi", model.axes, pull)


def compare(ours, peer, model, loads, **how):
    nothing = np.zeros((model.n_nodes, 6, 1))
    theirs = np.concatenate(
        [peer(model, loads, **how), peer(model, nothing, weight=local_weight(model), **how)], 2
    )
    for part in (slice(0, 3), slice(3, 6)):  # mm and rad each by their own largest
        for case in range(ours.shape[2]):
            largest = np.abs(theirs[:, part, case]).max()
            assert largest > 0.0
            who = peer.__name__.split("_")[0]
            agree(ours[:, part, case], theirs[:, part, case], abs=1e-8 * largest, what=f"displacement by {who}")


@pytest.mark.parametrize("seed", PLAIN)
def test_frame_without_offsets_against_opensees(seed):
    model = random_frame(seed, offsets=False)
    loads, ours = answers(model)
    compare(ours, opensees_cases, model, loads)


@pytest.mark.parametrize("seed", PLAIN)
def test_frame_without_offsets_against_pynite(seed):
    model = random_frame(seed, offsets=False)
    loads, ours = answers(model)
    compare(ours, pynite_cases, model, loads)


@pytest.mark.parametrize("seed", OFFSET)
def test_frame_with_offsets_against_opensees(seed):
    model = random_frame(seed, offsets=True)
    loads, ours = answers(model)
    compare(ours, opensees_cases, model, loads)


@pytest.mark.parametrize("seed", PLAIN)
def test_frame_with_shear_deformation_against_opensees(seed):
    model = random_frame(seed, offsets=False, shear=True)
    loads, ours = answers(model)
    compare(ours, opensees_cases, model, loads, shear=True)


@pytest.mark.parametrize("seed", range(8))
def test_frequencies_against_opensees(seed):
    """Lumped masses on weightless members, where both make the same assumptions."""
    model = random_frame(seed, offsets=False)
    rng = np.random.default_rng(seed)
    where = np.arange(model.n_nodes)
    model = replace(
        model, density=np.zeros(len(model.elements)), mass_nodes=where,
        mass=rng.uniform(0.001, 0.02, len(where)), mass_inertia=rng.uniform(1.0, 80.0, (len(where), 3)),
        mass_offset=np.zeros((len(where), 3)),
    )  # fmt: skip
    ours = modes(assemble(model), 6).frequencies_hz
    agree(ours, opensees_modes(model, 6), rel=1e-6)


@pytest.mark.parametrize("seed", range(8))
def test_frequencies_with_beam_mass_against_opensees(seed):
    """With J = Iy + Iz, as OpenSees takes J / A for the polar radius squared."""
    model = random_frame(seed, offsets=False)
    model = replace(model, j=model.i_y + model.i_z)
    ours = modes(assemble(model), 6).frequencies_hz
    theirs = opensees_modes(model, 6)
    # Ours has the rotary inertia of bending, OpenSees not: never higher, and by less than 1 %.
    assert (ours <= theirs * (1 + 1e-7)).all()
    agree(ours, theirs, rel=0.01)

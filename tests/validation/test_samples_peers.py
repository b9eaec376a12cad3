"""Every sample's analysis model repeated by OpenSees and PyNite, to 1e-8 of the largest displacement.

Neither program knows a shear centre apart from the centroid, OpenSees' shear-flexible beam takes no rigid
offsets and PyNite has no rigid offsets at all. So OpenSees gets the sample with its offsets and without shear
deformation, then straight between its nodes with shear deformation; PyNite gets it straight and without shear.

Sources: OpenSees (openseespy), PyNite (PyNiteFEA), run here.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from framecore.brief import load_brief
from framecore.fem import FrameModel, assemble
from framecore.stand import evaluate
from tests.validation.peers import opensees_cases, pynite_cases
from tests.validation.record import agree

SAMPLES = sorted(Path(__file__).parents[2].joinpath("samples").glob("*.toml"))
LATHE = next(p for p in SAMPLES if p.stem == "bench-lathe")
NO_CENTRE = {"shear_centre": None}
NO_SHEAR = {"shear_y": 0.0, "shear_z": 0.0}


def straight(model: FrameModel) -> FrameModel:
    """The same members straight from node to node."""
    ends = model.nodes[model.elements]
    x = ends[:, 1] - ends[:, 0]
    x /= np.linalg.norm(x, axis=1)[:, None]
    z = np.cross(x, model.axes[:, 1])
    z /= np.linalg.norm(z, axis=1)[:, None]
    return replace(model, offsets=None, axes=np.stack([x, np.cross(z, x), z], axis=1))


def same(ours: np.ndarray, theirs: np.ndarray, what: str) -> None:
    agree(ours[:, :3], theirs[:, :3], abs=1e-8 * np.abs(theirs[:, :3]).max(), what=what)


@pytest.fixture(params=[*((p, "") for p in SAMPLES), (LATHE, "jacking screws"), (LATHE, "hollow jacking screws")],
                ids=lambda p: " on ".join(filter(None, (p[0].stem, p[1]))))  # fmt: skip
def strength(request):
    sample, seating = request.param
    brief = load_brief(sample)
    if seating:
        on = replace(brief.mounting, seating=seating, jack=60.0, block=50.0, block_height=30.0, screw="M20")
        brief = replace(brief, mounting=on)
    return evaluate(brief).strength


def test_with_offsets_against_opensees(strength):
    model = replace(strength.model, **NO_CENTRE, **NO_SHEAR)
    ours = assemble(model).solve(strength.loads)
    same(ours, opensees_cases(model, strength.loads), "displacement with offsets, OpenSees")


def test_with_shear_against_opensees(strength):
    model = replace(straight(strength.model), **NO_CENTRE)
    ours = assemble(model).solve(strength.loads)
    same(ours, opensees_cases(model, strength.loads, shear=True), "displacement with shear, OpenSees")


def test_straight_against_pynite(strength):
    model = replace(straight(strength.model), **NO_CENTRE, **NO_SHEAR)
    ours = assemble(model).solve(strength.loads)
    same(ours, pynite_cases(model, strength.loads), "displacement, PyNite")

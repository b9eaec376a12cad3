"""Laws of mechanics on random stands of every layout: equilibrium, rotation, splitting, reciprocity, mirror."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from framecore.errors import FramecoreError
from framecore.fem import FrameModel, assemble
from framecore.stand import Stand, evaluate
from tests.unit.stand.random_briefs import LAYOUTS, random_reading


@cache
def stands() -> tuple[Stand, ...]:
    """Two random stands of each layout."""
    found: dict[str, list[Stand]] = {name: [] for name in LAYOUTS}
    for seed in range(1000, 1600):
        reading = random_reading(seed)
        if reading.brief is None or len(found[reading.brief.frame.layout]) == 2:
            continue
        try:
            found[reading.brief.frame.layout].append(evaluate(reading.brief))
        except FramecoreError:
            continue
    return tuple(s for group in found.values() for s in group)


NUMBERS = range(2 * len(LAYOUTS))


def loads_for(model: FrameModel, seed: int) -> np.ndarray:
    rng = np.random.default_rng(seed)
    out = rng.normal(size=(model.n_nodes, 6, 2))
    out[:, :3] *= 100.0
    out[:, 3:] *= 5000.0
    return out


def test_there_are_two_stands_of_each_layout():
    assert len(stands()) == len(NUMBERS)


@pytest.mark.parametrize("k", NUMBERS)
def test_forces_and_moments_balance(k):
    model = stands()[k].strength.model
    loads = loads_for(model, k)
    built = assemble(model)
    u = built.solve(loads)
    back = built.reactions(u)
    arms = model.nodes - model.nodes.mean(0)
    for c in range(2):
        force = loads[:, :3, c].sum(0) + back[:, :3, c].sum(0)
        moment = (
            loads[:, 3:, c].sum(0) + np.cross(arms, loads[:, :3, c]).sum(0)
            + back[:, 3:, c].sum(0) + np.cross(arms[model.spring_nodes], back[:, :3, c]).sum(0)
        )  # fmt: skip
        assert np.abs(force).max() < 1e-6 * np.abs(loads[:, :3]).sum()
        assert np.abs(moment).max() < 1e-6 * np.abs(loads[:, 3:]).sum()


@pytest.mark.parametrize("k", NUMBERS)
def test_every_element_balances(k):
    """End forces of an element hold each other: the shear makes the difference of its end moments."""
    s = stands()[k].strength
    built = assemble(s.model)
    f = built.end_forces(built.solve(loads_for(s.model, k)))
    length = s.model.length[:, None]
    scale = np.abs(f).max()
    assert np.abs(f[:, 0] + f[:, 6]).max() < 1e-7 * scale
    assert np.abs(f[:, 4] + f[:, 10] - f[:, 8] * length).max() < 1e-6 * np.abs(f[:, [4, 10]]).max()
    assert np.abs(f[:, 5] + f[:, 11] + f[:, 7] * length).max() < 1e-6 * np.abs(f[:, [5, 11]]).max()


@pytest.mark.parametrize("k", NUMBERS)
def test_turning_the_whole_stand_turns_the_answer(k):
    model = stands()[k].strength.model
    angle = 0.3 + k
    c, s = np.cos(angle), np.sin(angle)
    turn = np.array([[c, -s, 0.0], [s, c, 0.0], [0.0, 0.0, 1.0]])
    turned = replace(
        model, nodes=model.nodes @ turn.T, axes=model.axes @ turn.T, offsets=model.end_offsets @ turn.T,
        mass_offset=np.asarray(model.mass_offset) @ turn.T,
    )  # fmt: skip
    loads = loads_for(model, k)
    both = np.concatenate([np.einsum("ij,njc->nic", turn, loads[:, :3]), np.einsum("ij,njc->nic", turn, loads[:, 3:])], 1)
    u, v = assemble(model).solve(loads), assemble(turned).solve(both)
    back = np.concatenate([np.einsum("ji,njc->nic", turn, v[:, :3]), np.einsum("ji,njc->nic", turn, v[:, 3:])], 1)
    assert np.abs(back - u)[:, :3].max() < 1e-7 * np.abs(u[:, :3]).max()


@pytest.mark.parametrize("k", NUMBERS)
def test_splitting_every_element_changes_nothing(k):
    model = stands()[k].strength.model
    m, n = len(model.elements), model.n_nodes
    ends = model.nodes[model.elements] + model.end_offsets
    middle = ends.mean(1)
    first = np.column_stack([model.elements[:, 0], n + np.arange(m)])
    second = np.column_stack([n + np.arange(m), model.elements[:, 1]])
    none = np.zeros((m, 3))
    twice = {
        name: np.tile(model.per_element(name), 2)
        for name in ("area", "i_y", "i_z", "j", "e", "g", "density", "shear_y", "shear_z")
    }
    split = replace(
        model, nodes=np.vstack([model.nodes, middle]), elements=np.vstack([first, second]),
        axes=np.concatenate([model.axes, model.axes]), shear_centre=np.tile(model.shear_centres, (2, 1)),
        offsets=np.concatenate([np.stack([model.end_offsets[:, 0], none], 1), np.stack([none, model.end_offsets[:, 1]], 1)]),
        **twice,
    )  # fmt: skip
    loads = loads_for(model, k)
    more = np.concatenate([loads, np.zeros((m, 6, 2))])
    u, v = assemble(model).solve(loads), assemble(split).solve(more)[:n]
    assert np.abs(u - v)[:, :3].max() < 1e-6 * np.abs(u[:, :3]).max()


@pytest.mark.parametrize("k", NUMBERS)
def test_work_is_reciprocal(k):
    model = stands()[k].strength.model
    a, b = loads_for(model, k), loads_for(model, k + 100)
    built = assemble(model)
    there, back = (a * built.solve(b)).sum((0, 1)), (b * built.solve(a)).sum((0, 1))
    np.testing.assert_allclose(there, back, rtol=1e-6, atol=1e-7 * np.abs(a * built.solve(a)).sum())


@pytest.mark.parametrize("k", NUMBERS)
def test_a_floor_that_only_bears_never_pulls_and_what_lifts_is_clear_of_it(k):
    stand = stands()[k]
    s = stand.strength
    if stand.brief.floor.anchor != "none":
        # Anchored feet hold both ways; over a low spot the foot is shimmed before it is drawn down.
        held = [k for k, c in enumerate(s.cases) if c.id != "low spot"]
        assert not s.foot_open[:, held].any()
        return
    standing = ~s.tips
    loads = s.foot_loads[:, standing]
    assert (loads >= -1e-6 * np.abs(s.foot_loads).max()).all()
    assert (loads[s.foot_open[:, standing]] == 0.0).all()
    # A foot in the air lies above where the floor is under it.
    if stand.brief.feet.set == "levelled":
        low = [c.id == "low spot" for c, ok in zip(s.cases, standing, strict=True) if ok]
        rise = s.displacements[s.map.foot_nodes, 2][:, standing]
        lifted = s.foot_open[:, standing] & ~np.array(low)[None, :]
        assert (rise[lifted] >= -1e-9).all()

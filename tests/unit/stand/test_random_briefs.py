"""Random briefs over all layouts: each gives figures, or sentences that say what is wrong; never anything else."""

from __future__ import annotations

import math
import os
from collections import Counter

import numpy as np
import pytest

from framecore.errors import BriefError, CuttingError, Finding, LayoutError
from framecore.frame.model import Role
from framecore.stand import Stand, evaluate
from tests.unit.stand.random_briefs import LAYOUTS, random_reading, random_text

COUNT = int(os.environ.get("STANDWRIGHT_BRIEFS", "500"))
GROUPS = 20
SEEN: Counter[str] = Counter()
SLOTTED: Counter[str] = Counter()
FIXED: Counter[str] = Counter()


def outcome(seed: int) -> Stand | tuple[Finding, ...] | str:
    reading = random_reading(seed)
    if reading.brief is None:
        return reading.findings
    try:
        return evaluate(reading.brief)
    except (BriefError, LayoutError) as fault:
        return fault.findings
    except CuttingError as fault:
        return str(fault)


def sensible(stand: Stand) -> None:
    s = stand.strength
    for figure in stand.figures.values():
        assert math.isfinite(figure.value), figure.id
        assert figure.working.formula and figure.working.source, figure.id
    assert (stand.solids.masses > 0).all()
    standing = ~s.tips
    applied = s.loads.sum(0)
    np.testing.assert_allclose(
        s.reactions[:, :3].sum(0)[:, standing], -applied[:3, standing], atol=1e-4 * np.abs(s.loads).max() + 1e-3
    )
    if stand.brief.floor.anchor == "none":
        assert (s.foot_loads[:, standing] >= -1e-6 * np.abs(s.foot_loads).max()).all()
    assert (np.diff(s.modes_hz) >= -1e-9).all() and s.modes_hz[0] > 0
    assert sum(len(p.members) for p in stand.shop.pieces) == len(stand.frame.members)


@pytest.mark.timeout(3600)
@pytest.mark.parametrize("group", range(GROUPS))
def test_figures_or_clear_findings(group):
    for seed in range(group, COUNT, GROUPS):
        layout = LAYOUTS[seed % len(LAYOUTS)]
        try:
            got = outcome(seed)
            if isinstance(got, Stand):
                sensible(got)
                SEEN[layout] += 1
                SLOTTED[layout] += any(m.slot for m in got.frame.mounts)
                FIXED[layout] += bool(got.brief.frame.bearers_at) and any(m.role is Role.BEARER for m in got.frame.members)
            elif isinstance(got, str):
                assert len(got) > 20
            else:
                assert got
                for finding in got:
                    assert len(finding.message) > 20 and finding.message[-1] in ".?", finding
        except Exception as fault:
            raise AssertionError(f"seed {seed}: {fault!r}\n{random_text(seed)}") from fault


@pytest.mark.parametrize("seed", [1001, 5823])
def test_what_balances_on_an_edge_is_answered(seed):
    """Under its own weight feet lift, and those that stay would not hold the stand by themselves."""
    stand = outcome(seed)
    assert isinstance(stand, Stand) and stand.strength.foot_open[:, 0].any()
    sensible(stand)


def test_most_layouts_were_really_evaluated():
    """A generator that only makes impossible stands would prove nothing."""
    if sum(SEEN.values()) == 0:
        pytest.skip("the random briefs did not run in this process")
    print(f"\n{COUNT} random briefs, {SEEN.total()} stands evaluated: {dict(SEEN)}")
    assert set(SEEN) == set(LAYOUTS)
    assert min(SEEN.values()) >= 15 and sum(SEEN.values()) >= COUNT // 3, SEEN
    assert {k for k, n in SLOTTED.items() if n} == set(LAYOUTS) - {"tripod"}, SLOTTED
    assert {k for k, n in FIXED.items() if n} == {"four-post", "trestle", "pedestal pair", "workbench"}, FIXED

"""The work line at the elbow."""

from __future__ import annotations

from dataclasses import replace

import pytest

from framecore.brief.model import Brief, FrameBrief, Machine, Mounting, Operator
from framecore.height import working_height


def test_from_elbow_puts_a_lathe_axis_at_the_elbow() -> None:
    brief = Brief(
        machine=Machine(kind="lathe", work_line=310.0),
        operator=Operator(elbow=1085.0, shoes=25.0),
        mounting=Mounting(jack=20.0),
    )
    found = working_height(brief)
    assert found.origin == "measured"
    assert found.height == 1085.0 + 25.0 - 310.0 - 20.0
    assert found.gap == 0.0


def test_given_height_is_kept_and_the_gap_follows() -> None:
    brief = Brief(operator=Operator(elbow=1000.0, shoes=0.0), frame=FrameBrief(height=720.0))
    assert working_height(brief).gap == 720.0 + 300.0 - 1000.0


@pytest.mark.parametrize("second", [1500.0, 2000.0])
def test_a_far_second_user_needs_a_platform_that_brings_the_work_into_the_band(second: float) -> None:
    brief = Brief(operator=Operator(stature=1750.0, second_stature=second))
    found = working_height(brief)
    assert found.overlap is None
    shorter = min(found.users, key=lambda u: u.elbow)
    assert found.platform > 0
    assert shorter.high + found.platform == pytest.approx(found.ideal)


def test_a_like_second_user_shares_the_band() -> None:
    brief = Brief(operator=Operator(stature=1750.0, second_stature=1760.0))
    found = working_height(brief)
    assert found.overlap is not None and found.platform == 0.0
    assert found.overlap[0] <= found.ideal <= found.overlap[1]


def test_every_kind_of_machine_has_a_kind_of_work() -> None:
    from framecore.brief.model import KINDS

    for kind in KINDS:
        brief = Brief(machine=replace(Machine(), kind=kind))
        assert working_height(brief).band_low < working_height(brief).band_high

"""The bed on its stand: what one unit couple tells against frames that are really moved, jacked or rebuilt."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from framecore import evaluate, load_brief
from framecore.fem import assemble
from framecore.strength import Analyst
from framecore.strength._bed import like_of_other_kind

SAMPLES = Path(__file__).parents[3] / "samples"


@cache
def stand(name="bench-lathe"):
    return evaluate(load_brief(SAMPLES / f"{name}.toml"))


def bed_ends(s):
    rows = [k for k, p in enumerate(s.map.element_part) if p == "bed"]
    return s.model.elements[rows[0], 0], s.model.elements[rows[-1], 1]


def twist(s, moved):
    first, last = bed_ends(s)
    return moved[last, 3] - moved[first, 3]


@pytest.mark.parametrize("name", ["bench-lathe", "bench-mill", "drill-press"])
def test_a_jack_really_turned_twists_the_bed_by_what_is_said(name):
    s = stand(name).strength
    m, built = s.model, assemble(s.model)
    for k, row in enumerate(k for k, p in enumerate(s.map.element_part) if p == "mount"):
        i, j = m.elements[row]
        push = float(m.per_element("e")[row] * m.per_element("area")[row] / m.length[row])
        load = np.zeros((m.n_nodes, 6))
        load[i, 2], load[j, 2] = -push, push  # a screw 1 mm longer than its place
        assert s.bed.per_jack[k] == pytest.approx(twist(s, built.solve(load)), rel=1e-6)


def test_a_foot_really_lifted_twists_the_bed_by_what_is_said():
    s = stand().strength
    built = assemble(s.model)
    for k, node in enumerate(s.model.spring_nodes):
        load = np.zeros((s.model.n_nodes, 6))
        load[node, 2] = s.model.stiffness[k, 2]
        assert s.bed.per_foot[k] == pytest.approx(twist(s, built.solve(load)), rel=1e-6)


def test_rails_of_the_other_kind_as_if_built():
    s = stand().strength
    frame = stand().frame
    rails = [k for k, m in enumerate(frame.members) if m.role in ("top rail", "bearer")]
    mine = np.isin(s.map.element_member, rails)
    kept = s.bed.other.j_other / s.bed.other.j
    softer = replace(s.model, j=np.where(mine, s.model.per_element("j") * kept, s.model.per_element("j")))
    row = [k for k, p in enumerate(s.map.element_part) if p == "mount"][s.bed.worst]
    i, j = s.model.elements[row]
    push = float(s.model.per_element("e")[row] * s.model.per_element("area")[row] / s.model.length[row])
    load = np.zeros((s.model.n_nodes, 6))
    load[i, 2], load[j, 2] = -push, push
    share = twist(s, assemble(softer).solve(load)) / s.bed.rigid[s.bed.worst]
    assert s.bed.other.share == pytest.approx(share, rel=1e-6)


def test_twist_of_every_case_is_read_off_the_displacements():
    s = stand().strength
    assert s.bed.twist == pytest.approx(twist(s, s.displacements))
    for case, turn in zip(s.cases, s.bed.twist, strict=True):
        figure = stand().figures[f"bed.twist.{case.id.replace(' ', '_')}"]
        assert figure.value == pytest.approx(1000 * abs(turn))


def test_a_stiffer_bed_takes_less_of_a_jack_turn():
    brief = stand().brief
    shares = [
        evaluate(replace(brief, machine=replace(brief.machine, bed_j=j, bed_i=5e6))).strength.bed.share for j in (1e5, 1e6, 1e7)
    ]
    assert shares == sorted(shares, reverse=True) and shares[0] > 1.2 * shares[2]


def test_no_bed_no_figures():
    assert stand("workbench").strength.bed is None
    assert not [i for i in stand("workbench").figures if i.startswith("bed.")]
    brief = stand().brief
    three = replace(brief, machine=replace(brief.machine, holes=brief.machine.holes[:3]))
    assert evaluate(three).strength.bed is None


def test_what_is_kept_between_frames_is_what_a_fresh_start_finds():
    brief, frame, solids = stand().brief, stand().frame, stand().solids
    analyst = Analyst()
    analyst.analyse(brief, frame, solids)
    other = replace(brief, machine=replace(brief.machine, bed_j=3e6))
    again = analyst.analyse(other, frame, solids).bed
    fresh = Analyst().analyse(other, frame, solids).bed
    assert again.rigid == pytest.approx(fresh.rigid, rel=1e-9) and again.share == pytest.approx(fresh.share, rel=1e-9)


def test_other_kind_is_of_like_mass():
    assert like_of_other_kind("SHS 50x50x3").startswith("L ")
    assert like_of_other_kind("L 50x50x5").startswith("SHS")
    assert like_of_other_kind("FL 50x6") == ""

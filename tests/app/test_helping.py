"""The pages that teach: every figure and every setting has its help, and none is left over."""

from __future__ import annotations

import re
from fnmatch import fnmatchcase
from pathlib import Path

import pytest

from app.dialogs.page import PageDialog
from app.helping import _page, figure_help, figure_tip, key_help, key_tip
from app.window.help_menu import show_page
from framecore import evaluate, load_brief
from framecore.brief import FIELDS, BriefSource

ROOT = Path(__file__).resolve().parents[2]
# What the samples do not use: a brief of each kind of thing that yields figures of its own.
MORE = (
    {"mounting.seating": "jacking screws", "mounting.jack": 50},
    {"mounting.seating": "hollow jacking screws", "mounting.jack": 50, "mounting.screw": "M20"},
    {"mounting.seating": "shims"},
    {"floor.kind": "wood", "floor.joist_span": 4000},
    {"floor.anchor": "M10", "floor.slab": 120},
    {"operator.elbow": 950, "operator.second_elbow": 1250},
    {"steel.cut_price_kg": 3, "steel.cut_fee": 2, "steel.carry": 2500},
    {"casters.kind": "two, tilt to roll"},
    {"casters.kind": "four, lowered to roll"},
)


@pytest.fixture(scope="module")
def ids():
    found = set()
    for path in sorted((ROOT / "samples").glob("*.toml")):
        found |= set(evaluate(load_brief(path)).figures)
    for values in MORE:
        source = BriefSource.new("lathe")
        for key, value in values.items():
            source = source.with_value(key, value)
        brief = source.resolve().brief
        assert brief is not None, values
        found |= set(evaluate(brief).figures)
    return found


def written_ids():
    """Ids as the source of the figures writes them, with a letter where one is filled in."""
    for path in (ROOT / "framecore" / "figures").glob("*.py"):
        for text in re.findall(r'\bid=f?"([^"]+)"', path.read_text(encoding="utf-8")):
            yield re.sub(r"\{.*?\}", "x", text)


def test_every_figure_has_its_help(ids):
    assert {"jack.rise", "mount.shims", "floor.joists", "floor.anchor_pull", "height.platform", "steel.cut_to_length",
            "stability.casters_lift", "casters.load"} <= ids  # fmt: skip
    wanted = ids | {i for i in written_ids() if not i.endswith(".")}
    assert sorted(i for i in wanted if figure_help(i) is None) == []


def test_each_help_says_what_is_good_and_where_it_comes_from(ids):
    for figure in sorted(ids):
        told = figure_help(figure)
        assert told.means.endswith(".") and told.good.endswith(".") and told.source.endswith("."), figure
        assert len(told.means) < 260 and len(told.good) < 260, figure
        assert figure_tip(figure).replace("\n", " ") == told.means


def test_every_setting_has_its_help():
    assert [f.path for f in FIELDS if key_help(f.path) is None] == []
    for field in FIELDS:
        tip = key_tip(field.path, field.help)
        assert tip and max(map(len, tip.split("\n"))) <= 64, field.path


def test_no_help_is_left_over(ids):
    known = {"figures.md": ids | set(written_ids()), "inputs.md": {f.path for f in FIELDS}}
    for name, wanted in known.items():
        left = [h for h in _page(name, "en") if not any(w == h or fnmatchcase(w, h) for w in wanted)]
        assert left == [], name


def test_an_exact_heading_goes_before_a_pattern():
    assert figure_help("modes.clear").means != figure_help("modes.1").means
    assert figure_help("mount.fit_chance").means != figure_help("mount.fit_chance.weld_bearers_last").means
    assert figure_help("lift.stand").means != figure_help("lift.x").means
    assert figure_help("no.such") is None and key_help("no.such") is None


def test_help_stands_beside_the_working_and_under_the_mouse(qtbot, window):
    figure = window.live.stand.figures["sway.stiffness_x"]
    window._show_working(figure)
    shown = window.working.text.toPlainText()
    assert figure_help(figure.id).means in shown and figure_help(figure.id).good in shown
    assert figure_tip(figure.id) in window.figures.rows[figure.id].toolTip()
    row = window.inputs.rows["operator.elbow"]
    assert "socks" in row.editor.toolTip() and row.label.toolTip() == row.editor.toolTip()


def test_pages_call_figures_and_settings_as_the_window_does(qtbot, window):
    for name, present, ids in (
        ("figures.md", ("Stand, floor to seat", "Sway stiffness sideways …"), ("height.stand", "sway.stiffness_*")),
        ("inputs.md", ("Machine: Mass", "Frame: Length"), ("machine.mass", "frame.length")),
    ):
        show_page(window, name)
        dialog = next(w for w in window.findChildren(PageDialog) if w.isVisible())
        lines = dialog.text.toPlainText().split("\n")
        for words, head in zip(present, ids, strict=True):
            assert lines[lines.index(words) + 1] == head, "the id that scripts use stands below the name"
        dialog.close()
        qtbot.waitUntil(lambda: not window.findChildren(PageDialog))

"""The panels beside the figures show what differs from the reference, and nothing while there is none."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint, Qt

from app.numbers import shown
from app.panels.compared import row_words
from app.panels.cut_list import CHANGE
from app.panels.findings import compared
from app.panels.speeds import paired
from app.view3d.slider import HIGH, LOW
from app.window.better import MOTION
from framecore.errors import Finding, Severity
from framecore.figures.words import input_value
from framecore.shop.differences import row_changes


def edited(qtbot, window, key, value):
    before = window.live.stand
    window.document.edit(key, value)
    qtbot.waitUntil(lambda: window.live.stand is not before)


@pytest.fixture
def kept(window):
    """The window with its stand as the reference."""
    window.reference_action.setChecked(True)
    return window.live.stand


def column(window):
    return [window.cut_list.item(r, CHANGE).text() for r in range(window.cut_list.rowCount())]


def test_nothing_is_shown_without_a_reference(qtbot, window):
    before = window.grab().toImage()
    window.reference_action.setChecked(True)
    assert window.plan.total == "To the reference: the same bars"
    assert not window.cut_list.isColumnHidden(CHANGE) and not any(column(window))
    window.reference_action.setChecked(False)
    assert window.plan.total == "" and window.cut_list.isColumnHidden(CHANGE) and window.slider.reference is None
    qtbot.waitUntil(lambda: window.grab().toImage() == before)


def test_the_cut_list_says_what_is_new_gone_and_longer(qtbot, window, kept):
    edited(qtbot, window, "frame.length", 1400)
    shop = window.live.stand.shop
    said = dict(zip(window.cut_list.marks(), column(window), strict=False))
    assert said[shop.piece_of["top rail front"]] == "+200.0 mm" and said[shop.piece_of["leg FL"]] == ""
    edited(qtbot, window, "frame.shelf", "slats")
    shop, table = window.live.stand.shop, window.cut_list
    said = dict(zip(table.marks(), column(window), strict=False))
    assert said[shop.piece_of["slat 1"]] == "new"
    gone = list(range(len(table.marks()), table.rowCount()))
    assert len(gone) == len(row_changes(shop, kept.shop).gone) >= 1
    assert all(table.item(r, CHANGE).text() == "gone" and table.item(r, 0).font().strikeOut() for r in gone)
    table.selectRow(gone[0])
    assert not window.choice.parts  # what is gone lights nothing
    edited(qtbot, window, "frame.shelf", "sheet")
    assert table.rowCount() == len(table.marks()) and not table.item(0, 0).font().strikeOut()


def test_another_profile_is_said_by_its_old_name(qtbot, window, kept):
    edited(qtbot, window, "frame.sections.legs", "SHS 70x70x3")
    shop = window.live.stand.shop
    change = row_changes(shop, kept.shop).of[shop.piece_of["leg FL"]]
    assert row_words(change, "metric").startswith("before: SHS 60x60x3")
    assert row_words(change, "metric") in column(window)


def test_the_cut_plan_shows_bars_added_and_dropped_with_their_cost(qtbot, window, kept):
    edited(qtbot, window, "frame.sections.legs", "SHS 70x70x3")
    plan = window.plan
    heads = {h.name: h.change for h in plan._heads}
    new = dict(window.live.stand.shop.plans)["SHS 70x70x3"]
    assert heads["SHS 70x70x3"] == f"1 bar more, +{new.cost:.2f} EUR"
    assert heads["SHS 60x60x3"].startswith("1 bar fewer, −") and "bar" not in heads["SHS 40x40x3"]
    signs = [b.sign for b in plan._bars]
    assert signs.count("+") == 1 and signs.count("−") == 1
    assert {b.left.split(", ")[-1] for b in plan._bars if b.sign} == {"added", "dropped"}
    assert plan.total.startswith("To the reference: ") and plan.total in plan.accessibleDescription()
    assert len(plan.slots) == sum(len(b.cuts) for _, p in window.live.stand.shop.plans for b in p.bars)


def test_the_slider_marks_the_height_of_the_reference(qtbot, window, kept):
    slider = window.slider
    assert slider.reference == pytest.approx(kept.height.height)
    edited(qtbot, window, "frame.height", 900)
    y = slider.y_of(slider.reference)
    marked = slider.grab().toImage()
    slider.set_reference(None)
    plain, ratio, x = slider.grab().toImage(), marked.devicePixelRatio(), slider.width() - 20
    spots = [(round((x + dx) * ratio), round((y + dy) * ratio)) for dx in range(2, 12) for dy in range(-5, 6)]
    assert sum(marked.pixelColor(*s) != plain.pixelColor(*s) for s in spots) > 20
    assert "The reference has 800" in slider.accessibleDescription()


def test_the_scale_reaches_to_a_reference_beyond_its_ends(qtbot, window):
    edited(qtbot, window, "frame.height", 1390)
    window.reference_action.setChecked(True)
    edited(qtbot, window, "frame.height", 800)
    assert window.slider.high > HIGH and window.slider.y_of(window.slider.reference) > 0
    window.reference_action.setChecked(False)
    assert (window.slider.low, window.slider.high) == (LOW, HIGH)


def test_findings_say_which_are_new_and_which_are_gone(qtbot, window, kept):
    edited(qtbot, window, "frame.sections.legs", "SHS 70x70x3")  # its pad leaves no land for the weld
    texts = [window.findings.list.item(k).text() for k in range(window.findings.list.count())]
    assert any("look, new" in t and "pad" in t for t in texts)
    window.reference_action.setChecked(False)
    assert not any("new" in window.findings.list.item(0).text().split("  ")[1] for _ in (0,))
    window.reference_action.setChecked(True)
    edited(qtbot, window, "feet.pad", 80)
    items = [window.findings.list.item(k) for k in range(window.findings.list.count())]
    gone = next(i for i in items if "gone since the reference" in i.text())
    asked = []
    window.findings.asked.connect(asked.append)
    window.findings.list.itemClicked.emit(gone)
    assert not asked and gone.text().startswith("△")


def test_a_finding_is_the_same_while_only_its_numbers_move():
    def look(code, message, severity=Severity.LOOK, field=""):
        return Finding(code=code, message=message, severity=severity, field=field)

    had = (look("a", "5 mm"), look("a", "6 mm"), look("b", "x"))
    fresh, gone = compared([look("a", "7 mm"), look("c", "y"), look("brief.unknown", "z")], had)
    assert fresh == {1} and [f.code for f in gone] == ["a", "b"]
    assert compared([look("a", "7 mm")], None) == (frozenset(), ())
    # Nothing more is known of a stand that cannot be built.
    assert compared([look("d", "no", Severity.STOP)], had)[1] == ()


def test_the_working_shows_was_and_now_of_what_goes_in(qtbot, window, kept):
    edited(qtbot, window, "frame.height", 900)
    now = window.live.stand

    def inputs(stand, name):
        return [shown(input_value(i)) for i in stand.figures.at_hand[name].working.inputs]

    name = next(n for n in now.figures.at_hand if n in kept.figures and inputs(now, n) != inputs(kept, n))
    window.figures.chosen.emit(now.figures[name])
    said = [line.strip() for line in window.working.text.toPlainText().split("\n")]
    heads = said.index("now")
    assert said[heads + 1] == "before"
    for one, other in zip(inputs(now, name), inputs(kept, name), strict=True):
        assert one in said[heads:] and (one == other or other in said[heads:])
    window.reference_action.setChecked(False)
    assert "before" not in window.working.text.toPlainText().split()


def test_the_working_follows_a_moving_hand(qtbot, window, kept):
    window.figures.chosen.emit(kept.figures["height.work_line"])
    window.slider.moved.emit(870.0, 5)
    qtbot.waitUntil(lambda: "1180.0 mm" in window.working.text.toPlainText())
    assert window.live.moving and "+70.0 mm" in window.working.text.toPlainText()
    window.slider.released.emit()


def test_modes_are_compared_with_the_same_movement(qtbot, window, kept):
    window.better.show_below(MOTION, True)
    edited(qtbot, window, "frame.depth", 600)
    now, panel = window.live.stand, window.better.panels[MOTION]
    names, had = now.strength.motion.names, kept.strength.motion.names
    pairs = paired(now, kept)
    for k, (name, hz) in enumerate(zip(names, pairs, strict=True)):
        same = [f for n, f in zip(had, kept.strength.modes_hz.tolist(), strict=True) if n == name]
        assert (hz in same) if same and names[:k].count(name) < len(same) else hz is None
    shown = panel.plot.kept.getData()[0]
    assert len(shown) == sum(p is not None for p in pairs) > 0 and "open: the reference" in panel.legend.text()
    window.reference_action.setChecked(False)
    assert not len(panel.plot.kept.getData()[0]) and "reference" not in panel.legend.text()


def test_a_drag_keeps_every_difference_up_to_date(qtbot, window, kept):
    view = window.slider
    at = view.rect().center() - QPoint(0, 60)
    qtbot.mousePress(view, Qt.MouseButton.LeftButton, pos=at)
    qtbot.waitUntil(lambda: not window.live.waiting)
    shop = window.live.stand.shop
    change = row_changes(shop, kept.shop).of[shop.piece_of["leg FL"]]
    assert window.live.moving and change.longer
    assert row_words(change, "metric") in column(window)
    qtbot.mouseRelease(view, Qt.MouseButton.LeftButton, pos=at)

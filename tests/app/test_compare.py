"""Reference, side by side and variants, as a person uses them."""

from __future__ import annotations

import numpy as np
import pytest
from PySide6.QtCore import Qt

from app.panels.words import difference
from app.view3d.ghosts import REFERENCE, otherwise
from app.window.better import MOTION
from framecore import evaluate
from framecore.brief import load_source, resolve
from framecore.brief.variants import variant_names
from framecore.figures.words import quantity


@pytest.fixture
def dialog(qtbot, window):
    window.better.compare()
    found = window.better._compare
    yield found
    found.close()


def edited(qtbot, window, key, value):
    before = window.live.stand
    window.document.edit(key, value)
    qtbot.waitUntil(lambda: window.live.stand is not before)


def keep(qtbot, dialog, name):
    dialog.name.setFocus()
    dialog.name.selectAll()
    qtbot.keyClicks(dialog.name, name)
    qtbot.keyClick(dialog.name, Qt.Key.Key_Return)


def words_of(sheet):
    return {p.text for p in sheet.primitives if hasattr(p, "text")}


def test_only_what_differs_is_drawn_over_the_stand(window):
    from framecore.search.space import with_value

    one = window.live.stand
    lower = evaluate(with_value(one.brief, "frame.sections.lower_rails", "SHS 50x50x3"))
    found, back = otherwise(lower, one), otherwise(one, lower)
    assert {p for p in found.parts if p.startswith("lower rail")} == {p for p in back.parts if p.startswith("lower rail")}
    assert len([p for p in found.parts if p.startswith("lower rail")]) == 4
    assert not any(p.startswith(("leg", "top rail", "bearer", "foot")) for p in found.parts)
    assert not otherwise(one, one).parts and not len(otherwise(one, one).edges)
    braced = evaluate(with_value(one.brief, "braces.back", "diagonal"))
    assert otherwise(one, braced).parts == () and len(otherwise(braced, one).parts) >= 1
    low, high = np.min(found.triangles, (0, 1)), np.max(found.triangles, (0, 1))
    assert low[2] > 100 and high[2] < 300  # lower rails, not legs


def test_the_reference_shows_in_every_panel_and_over_the_stand(qtbot, window):
    window.better.show_below(MOTION, True)
    kept = window.live.stand
    window.reference_action.setChecked(True)
    edited(qtbot, window, "frame.sections.legs", "SHS 70x70x3")
    now = window.live.stand
    qtbot.waitUntil(lambda: window.figures.complete, timeout=30_000)
    for name, figure in now.figures.items():
        before = kept.figures.get(name)
        wanted = "" if before is None else difference(figure.value, before.value, figure.unit, "metric")
        row = window.figures.rows[name]
        assert row.change == wanted, name
        assert (wanted in row.accessibleName()) and (("to the reference" in row.accessibleName()) == bool(wanted)), name
    window.figures.chosen.emit(now.figures["mass.frame"])
    said = window.working.text.toPlainText()
    assert quantity(kept.figures["mass.frame"].value, "kg", "metric") in said and "Reference" in said
    modes = window.better.panels[MOTION].modes
    assert "to the reference" in modes.itemText(0)
    ghosts = window.view.ghosts
    assert ghosts.shown(REFERENCE) is kept and ghosts.isVisible()
    new, _gone = ghosts.odd_parts(REFERENCE)
    assert {"leg FL", "leg BR"} <= new and "bearer 1" not in new
    assert window.view.ghosts.grab().toImage() != window.view.grab().toImage()
    window.reference_action.setChecked(False)
    assert not ghosts.isVisible() and window.better.reference is None
    assert not any(r.change for r in window.figures.rows.values())
    assert "Reference" not in window.working.text.toPlainText() and "reference" not in modes.itemText(0)


def test_variants_are_kept_compared_taken_and_undone(qtbot, window, dialog, sample_file):
    assert not dialog.found and "Nothing to compare" in dialog.told.text() and not dialog.take_button.isEnabled()
    first = window.live.stand.brief
    keep(qtbot, dialog, "as drawn")
    qtbot.waitUntil(lambda: [o.name for o in dialog.found] == ["as drawn"])
    assert "the present stand" in dialog.list.item(0).text() and window.document.history.count() == 1
    edited(qtbot, window, "frame.sections.legs", "SHS 70x70x3")
    qtbot.waitUntil(lambda: bool(dialog.sheets) and not dialog._rest.isActive())
    assert "the present stand" not in dialog.list.item(0).text()
    said = words_of(dialog.sheets[0])
    assert {"Profiles: Legs", "SHS 70x70x3", "SHS 60x60x3", "as drawn", "present stand"} <= said
    other = window.live.stand.brief
    dialog.list.setCurrentRow(0)
    assert dialog.take_button.isEnabled()
    dialog.take_button.click()
    assert "Undo" in dialog.told.text()
    qtbot.waitUntil(lambda: window.live.stand.brief == first)
    window.document.history.undo()
    qtbot.waitUntil(lambda: window.live.stand.brief == other)
    # Saved and opened again, as another program or a hand would see it.
    assert window.save()
    again = load_source(sample_file)
    assert variant_names(again) == ("as drawn",) and resolve(again).brief == other
    assert "# with chuck and tailstock" in sample_file.read_text("utf-8")


def test_names_that_will_not_do_are_said(qtbot, window, dialog):
    keep(qtbot, dialog, "a.b")
    assert "no point" in dialog.told.text() and not dialog.found and not window.document.history.count()
    dialog.show_stand(window.live.stand)  # the sentence stays when the stand is worked out once more
    assert "no point" in dialog.told.text()
    keep(qtbot, dialog, "one")
    assert dialog.told.text() == ""
    keep(qtbot, dialog, "two")
    assert [o.name for o in dialog.found] == ["one", "two"]
    dialog.list.setCurrentRow(0)
    dialog.name.setText("two")
    dialog._allow()
    dialog.rename_button.click()
    assert "already" in dialog.told.text()
    dialog.name.setText("first")
    dialog._allow()
    dialog.rename_button.click()
    assert {o.name for o in dialog.found} == {"first", "two"}
    dialog.list.setCurrentRow([o.name for o in dialog.found].index("two"))
    dialog.drop_button.click()
    assert [o.name for o in dialog.found] == ["first"]


def test_a_variant_becomes_the_reference_and_the_menu_follows(qtbot, window, dialog):
    keep(qtbot, dialog, "as drawn")
    edited(qtbot, window, "frame.lower_ring", 320)
    dialog.reference_button.click()
    assert window.reference_action.isChecked()
    assert window.better.reference.brief.frame.lower_ring == 220
    assert window.view.ghosts.shown(REFERENCE) is window.better.reference
    window.reference_action.setChecked(False)
    assert window.better.reference is None


def test_another_brief_is_compared_and_the_sheet_is_saved(qtbot, window, dialog, tmp_path):
    from pathlib import Path

    sample = Path(__file__).resolve().parents[2] / "samples" / "bench-mill.toml"
    dialog.ask_brief = lambda _w: str(sample)
    dialog.brief_button.click()
    qtbot.waitUntil(lambda: bool(dialog.sheets))
    assert dialog.chosen.name == "bench-mill.toml" and not dialog.take_button.isEnabled()
    dialog.ask_path = lambda *_a: str(tmp_path / "both.pdf")
    dialog.save_button.click()
    assert (tmp_path / "both.pdf").read_bytes().startswith(b"%PDF") and "Saved" in dialog.told.text()
    dialog.ask_path = lambda *_a: str(tmp_path / "nowhere" / "both.pdf")
    dialog.save_button.click()
    assert "could not be written" in dialog.told.text()
    broken = tmp_path / "broken.toml"
    broken.write_text("format = = 1", encoding="utf-8")
    dialog.ask_brief = lambda _w: str(broken)
    dialog.brief_button.click()
    assert "TOML" in dialog.told.text() and len(dialog.found) == 1


def test_a_variant_that_gives_no_stand_says_why(qtbot, window, dialog):
    window.document.edit("variants.low", {"frame": {"length": 300, "sections": {"legs": "SHS 100x100x4"}}})
    qtbot.waitUntil(lambda: len(dialog.found) == 1)
    assert "■" in dialog.list.item(0).text() and not dialog.take_button.isEnabled()
    dialog.list.setCurrentRow(0)
    assert not dialog.sheets and not dialog.save_button.isEnabled()

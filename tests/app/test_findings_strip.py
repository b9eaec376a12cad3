"""What is wrong, below the view and beside the fields, and what is not good among the figures."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QRect, Qt
from PySide6.QtTest import QTest

from app.panels.findings import LINES, FindingsStrip
from framecore.errors import Finding
from framecore.figures.model import Verdict

LONG = "The stand would be too short for its machine, and this sentence says so in words enough for three lines and more."


@pytest.mark.parametrize("width", [900, 420, 260])
def test_a_sentence_is_seen_whole_however_narrow_the_strip_is(qtbot, width):
    strip = FindingsStrip()
    qtbot.addWidget(strip)
    strip.resize(900, 10)
    strip.show_findings((Finding(code="x", message=LONG),))
    strip.resize(width, strip.height())
    with qtbot.waitExposed(strip):
        strip.show()
    QTest.qWait(20)
    shown = strip.list.viewport()
    need = strip.list.fontMetrics().boundingRect(
        QRect(0, 0, shown.width(), 10_000), Qt.TextFlag.TextWordWrap, strip.list.item(0).text()
    ).height()
    assert need <= shown.height() <= need + 2 * strip.fontMetrics().lineSpacing()


def test_many_sentences_leave_most_of_the_view_alone(qtbot):
    strip = FindingsStrip()
    qtbot.addWidget(strip)
    strip.resize(300, 10)
    strip.show_findings(tuple(Finding(code=f"x{k}", message=LONG) for k in range(9)))
    assert strip.height() <= LINES * strip.fontMetrics().lineSpacing() + 10


def test_a_wrong_value_is_said_by_the_name_of_its_field_and_once(window):
    window.document.edit("machine.mass", "heavy")
    window.live.flush()
    row = window.inputs.rows["machine.mass"]
    assert row.finding.text().startswith("■ stop: Mass is not a mass: 'heavy'; write for example")
    said = window.findings.list.item(0).text()
    assert "Machine, Mass is not a mass" in said and "machine.mass" not in said
    assert said.lower().count("allowed") == 1 and said.count("not a mass") == 1
    # The fields that nobody gave still show what is typical.
    assert window.inputs.rows["operator.stature"].editor.line.text() == "1750"


def test_the_line_above_the_figures_counts_what_is_not_good_and_leads_to_it(qtbot, window):
    qtbot.waitUntil(lambda: window.figures.complete)
    button, figures = window.figures.verdicts, window.live.stand.figures.at_hand
    by = {v: [i for i, f in figures.items() if f.verdict is v] for v in (Verdict.STOP, Verdict.LOOK)}
    assert by[Verdict.LOOK], "the sample has something to look at"
    for verdict, ids in by.items():
        assert (f"{len(ids)} {verdict.value}" in button.text()) == bool(ids)
    visited = []
    for _ in range(len(button.ids) + 1):
        button.click()
        visited.append(window.working.chosen)
        assert window.figures.rows[window.working.chosen].isVisible()
    assert set(visited) == {*by[Verdict.STOP], *by[Verdict.LOOK]} and visited[0] == visited[-1]
    assert [figures[i].verdict for i in visited[: len(by[Verdict.STOP])]] == [Verdict.STOP] * len(by[Verdict.STOP])

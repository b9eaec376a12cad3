"""Rows that come while a hand is at the table do not move what it is at."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt

from app.panels.tried_table import TriedTable

HEADS = ("Change", "EUR", "Verdicts")


def fill(table, keys, tried=None):
    at = keys.index(tried) if tried is not None else -1
    table.fill(HEADS, [(f"change {k}", f"{k}", "good") for k in keys], at, None, keys)


@pytest.fixture
def table(qtbot):
    made = TriedTable(3)
    qtbot.addWidget(made)
    made.resize(400, 200)
    made.show()
    fill(made, list(range(40)))
    return made


def test_what_the_first_column_has_no_words_for_is_the_last_ones(qtbot):
    made = TriedTable(3, widths={2: 60})
    qtbot.addWidget(made)
    made.resize(700, 200)
    made.show()
    fill(made, list(range(4)))
    narrow = made.columnWidth(0)
    assert made.columnWidth(2) > 300 and sum(made.columnWidth(c) for c in range(3)) == made.viewport().width()
    made.fill(HEADS, [("a change that is said in very many words " * 3, "1", "good")], -1)
    assert made.columnWidth(0) > narrow and made.columnWidth(2) == 60
    assert sum(made.columnWidth(c) for c in range(3)) == made.viewport().width()


def test_the_row_that_is_tried_stays_where_it_is(table):
    fill(table, list(range(40)), 20)
    table.scrollToItem(table.item(20, 0), TriedTable.ScrollHint.PositionAtCenter)
    place = table.rowViewportPosition(20)
    assert 0 < place < table.viewport().height()
    asked = []
    table.wanted.connect(asked.append)
    table.dropped.connect(lambda: asked.append(-1))
    fill(table, [*range(100, 110), *range(40)], 20)
    assert table.row_tried() == 30 and table.item(30, 0).text() == "change 20"
    assert table.rowViewportPosition(30) == place and not asked
    fill(table, [k for k in range(40) if k % 3 or k > 19], 20)  # some that were before it are beaten
    assert table.item(table.row_tried(), 0).text() == "change 20"
    assert table.rowViewportPosition(table.row_tried()) == place


def test_without_one_the_topmost_in_sight_stays(table):
    table.verticalScrollBar().setValue(250)
    top = table.item(table.rowAt(0), 0).text()
    fill(table, [*range(100, 105), *range(40)])
    assert table.item(table.rowAt(0), 0).text() == top


def test_at_the_head_of_the_table_what_is_best_comes_in_sight(table):
    fill(table, [*range(100, 105), *range(40)])
    assert table.rowAt(0) == 0 and table.item(0, 0).text() == "change 100"


def test_an_empty_table_has_no_numbers_for_heads(qtbot):
    table = TriedTable(4)
    qtbot.addWidget(table)
    model = table.model()
    assert [model.headerData(k, Qt.Orientation.Horizontal) for k in range(4)] == [""] * 4

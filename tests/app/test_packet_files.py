"""The packet's workbook read by another library, its views, and what is said when the disk is full or closed."""

from __future__ import annotations

import errno
from dataclasses import replace
from pathlib import Path

import pytest

from app.cli.lists_xlsx import write_lists
from app.cli.main import run
from app.cli.packet import _views, write_packet
from framecore.brief import load_brief
from framecore.sheets import compose
from framecore.stand import evaluate

openpyxl = pytest.importorskip("openpyxl")
SAMPLES = Path(__file__).parents[2] / "samples"
SAMPLE = SAMPLES / "bench-lathe.toml"


@pytest.fixture(scope="module")
def stand():
    return evaluate(load_brief(SAMPLE))


def rows(sheet):
    head, *rest = sheet.iter_rows(values_only=True)
    return [dict(zip(head, row, strict=True)) for row in rest]


@pytest.fixture(scope="module")
def book(stand, tmp_path_factory):
    path = tmp_path_factory.mktemp("book") / "lists.xlsx"
    write_lists(stand, path)
    return openpyxl.load_workbook(path)


def test_the_book_holds_every_list_whole(stand, book):
    assert book.sheetnames == ["Pieces", "Cut plan", "Order", "Bought", "Welds", "Steps"]
    pieces = {r["Mark"]: r for r in rows(book["Pieces"])}
    for p in stand.shop.pieces:
        assert pieces[p.mark]["Count"] == len(p.members) and pieces[p.mark]["Length mm"] == pytest.approx(p.length, abs=0.005)
    assert set(pieces) == {p.mark for p in (*stand.shop.pieces, *stand.shop.plates)}
    cut = rows(book["Cut plan"])
    assert sorted(r["Mark"] for r in cut) == sorted(p.mark for p in stand.shop.pieces for _ in p.members)
    assert sum(r[f"Cost {stand.shop.currency}"] for r in rows(book["Order"])) == pytest.approx(stand.shop.cost, abs=0.05)
    assert [r["Mark"] for r in rows(book["Bought"])] == [b.mark for b in stand.shop.bought]
    assert [r["Mark"] for r in rows(book["Welds"])] == [w.mark for w in stand.work().welds]
    assert [r["What to do"] for r in rows(book["Steps"])] == [s.text for s in stand.work().steps]


def test_every_list_prints_on_one_width_with_its_heads(book):
    for sheet in book:
        assert sheet.freeze_panes == "A2" and sheet.print_title_rows == "$1:$1"
        assert sheet.page_setup.orientation == "landscape" and sheet.page_setup.paperSize == 9
        assert sheet.sheet_properties.pageSetUpPr.fitToPage and sheet.page_setup.fitToHeight == 0
        assert all(c.font.bold for c in sheet[1])
        assert all(6 <= d.width <= 61 for d in sheet.column_dimensions.values())


def test_lengths_are_numbers_in_the_units_of_the_brief(stand, tmp_path):
    inch = replace(stand, brief=replace(stand.brief, units="inch"))
    write_lists(inch, tmp_path / "inch.xlsx")
    sheet = openpyxl.load_workbook(tmp_path / "inch.xlsx")["Pieces"]
    first = stand.shop.pieces[0]
    assert rows(sheet)[0]["Length in"] == pytest.approx(first.length / 25.4, abs=1e-4)
    assert rows(sheet)[0]["Mass each lb"] == pytest.approx(first.mass / 0.45359237, abs=1e-3)
    assert sheet.cell(2, 4).number_format == "0.000"


def test_words_stay_words_whatever_they_begin_with(stand, tmp_path):
    shop = stand.shop
    line = replace(shop.bought[0], what="=1+1", where="http://nowhere.invalid")
    write_lists(replace(stand, shop=replace(shop, bought=(line,))), tmp_path / "book.xlsx")
    sheet = openpyxl.load_workbook(tmp_path / "book.xlsx")["Bought"]
    assert sheet.cell(2, 3).value == "=1+1" and sheet.cell(2, 3).data_type != "f"
    assert sheet.cell(2, 5).hyperlink is None


def test_the_book_is_the_same_bytes_each_time(stand, tmp_path):
    for name in ("a.xlsx", "b.xlsx"):
        write_lists(stand, tmp_path / name)
    assert (tmp_path / "a.xlsx").read_bytes() == (tmp_path / "b.xlsx").read_bytes()


@pytest.mark.parametrize("paper", ["A3", "A4"])
def test_the_file_of_the_views_has_all_of_them(stand, paper):
    views = {v.name for v in _views(stand, compose(stand, paper)).views}
    assert {"front", "top"} <= views and views & {"left", "right"}


@pytest.mark.parametrize(
    ("fault", "word"),
    [
        (OSError(errno.ENOSPC, "No space left on device"), "No space left"),
        (OSError(errno.EROFS, "Read-only file system"), "Read-only"),
    ],
)
def test_a_full_or_closed_disk_is_one_sentence_and_leaves_nothing(tmp_path, monkeypatch, capsys, fault, word):
    def fail(*_args):
        raise fault

    monkeypatch.setattr("app.cli.lists_csv.write_order", fail)
    assert run(["packet", str(SAMPLE), "-o", str(tmp_path / "out")]) in (1, 2)
    said = capsys.readouterr().err.strip()
    assert word in said and str(tmp_path / "out") in said and "Traceback" not in said and len(said.splitlines()) == 1
    assert list(tmp_path.iterdir()) == []


def test_a_book_that_cannot_be_written_says_what_the_system_said(stand, tmp_path):
    with pytest.raises(OSError, match="No such file") as caught:
        write_lists(stand, tmp_path / "gone" / "lists.xlsx")
    assert caught.value.errno == errno.ENOENT


def test_the_packet_holds_the_book(stand, tmp_path):
    names = {p.name for p in write_packet(stand, tmp_path / "out", force=False)}
    assert {"lists.xlsx", "cut-list.csv", "order.csv", "frame.dxf", "sheets.pdf"} <= names

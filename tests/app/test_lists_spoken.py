"""The packet's lists and drawings in German: read as a German spreadsheet and a German shop read them."""

from __future__ import annotations

import csv
import json
import re
import zipfile
from pathlib import Path

import ezdxf
import pytest

from app.cli.lists_csv import write_cut_list, write_order
from app.cli.lists_xlsx import tables, write_lists
from framecore import evaluate, load_brief
from framecore.brief.written import written
from framecore.sheets.parts.part_dxf import flat_parts, write_part_dxf
from framecore.sheets.seat.template_dxf import write_template_dxf
from framecore.solids.exact import exact_parts
from framecore.solids.files import glb_bytes
from framecore.words import keep_names, listen, speaking
from framecore.words.template import words

SAMPLES = Path(__file__).resolve().parents[2] / "samples"
POINT = re.compile(r"(?<![\w.,])\d+\.\d+(?![\w.])")


@pytest.fixture(scope="module")
def stand():
    return evaluate(load_brief(SAMPLES / "bench-lathe.toml"))


@pytest.fixture
def german(stand):
    """Speak German; yields what had no translation."""
    heard: set[str] = set()
    with speaking("de"), listen(heard.add):
        keep_names(*written(stand.brief))
        yield heard


def unsaid(heard):
    return sorted(t for t in heard if len(words(t)) > 1)


def read(path):
    with path.open(encoding="utf-8-sig", newline="") as file:
        return list(csv.DictReader(file, delimiter=";"))


def test_a_csv_file_opens_in_a_german_spreadsheet(stand, german, tmp_path):
    for write in (write_cut_list, write_order):
        write(stand, tmp_path / "list.csv")
        assert (tmp_path / "list.csv").read_bytes().startswith(b"\xef\xbb\xbf")
        rows = read(tmp_path / "list.csv")
        assert {"Anzahl", "Länge mm"} <= set(rows[0]) and not any(None in row for row in rows)
        assert not [c for row in rows for c in row.values() if POINT.search(c) and "8.8" not in c]
    write_cut_list(stand, tmp_path / "list.csv")
    rows = read(tmp_path / "list.csv")
    lengths = [float(row["Länge mm"].replace(",", ".")) for row in rows]
    assert lengths == pytest.approx([*(p.length for p in stand.shop.pieces), *(q.length for q in stand.shop.plates)], abs=0.05)
    assert unsaid(german) == []


def test_the_english_lists_stay_what_scripts_know(stand, tmp_path):
    write_cut_list(stand, tmp_path / "list.csv")
    head = (tmp_path / "list.csv").read_text(encoding="utf-8").splitlines()[0]
    assert head == (
        "mark,count,profile,length_mm,saw_length_mm,short_length_mm,end_1,end_2,holes,chamfer_mm,mass_kg,members,note"
    )


def test_the_workbook_is_german_and_its_numbers_are_numbers(stand, german, tmp_path):
    write_lists(stand, tmp_path / "lists.xlsx")
    with zipfile.ZipFile(tmp_path / "lists.xlsx") as book:
        names = re.findall(r'sheet name="([^"]+)"', book.read("xl/workbook.xml").decode())
        first = book.read("xl/worksheets/sheet1.xml").decode()
    assert names[0] == "Teile" and len(names) == len(set(names)) == len(list(tables(stand)))
    assert re.search(r"<c [^>]*><v>1080</v>", first)
    assert unsaid(german) == []


def test_drawings_and_solids_carry_german_names(stand, german, tmp_path):
    write_template_dxf(stand, tmp_path / "t.dxf")
    for part in flat_parts(stand):
        write_part_dxf(part, tmp_path / f"{part.mark}.dxf")
    told = [t.dxf.text for f in tmp_path.glob("*.dxf") for t in ezdxf.readfile(f).modelspace().query("TEXT")]
    assert any("Bedienerseite" in t for t in told) and any("dick, Stahl" in t for t in told)
    assert not [t for t in told if POINT.search(t)]
    data = glb_bytes(exact_parts(stand.frame), stand.brief.title)
    whole = json.loads(data[20 : 20 + int.from_bytes(data[12:16], "little")])
    names = [n["name"] for n in whole["nodes"]]
    assert "Bein FL" in names and "leg FL" not in names
    assert unsaid(german) == []

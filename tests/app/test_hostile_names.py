"""No text of a brief leads out of the folder that was chosen."""

from __future__ import annotations

import csv
import re
import zipfile
from pathlib import PureWindowsPath
from xml.etree import ElementTree

import pytest

from app.cli.common import stand_of
from app.cli.packet import write_packet
from app.cli.window import sample_source

HOSTILE = [
    "../../x", "..\\..\\x", "/etc/x", "C:\\x", "con", "NUL.txt", "aux", "LPT1", "n" * 300,
    "n" * 200, "a\x00b", "🔧 stand", "a\nb", ".", "..", " ", "a:b*?<>|", "-rf", "--force", "~",
    "$HOME", "`id`", "a;b", "%2e%2e/x",
    "\u202egpj.x", "\u2066x", "שלום", "e\u0301", "x.", "n" * 120, "=cmd|' /C calc'!A0", "+1", "@SUM(A1)", "-2+3", "&G&[File]",
    "<b>x</b>", "<img src=x>", "%%c %%u", "{\\H10;x}\\P", "]]>", "&amp;", "'", '"', "\\",
]  # fmt: skip
RESERVED = {"con", "prn", "aux", "nul", *(f"{w}{k}" for w in ("com", "lpt") for k in range(1, 10))}
# Texts of a brief, and each is tried with every hostile one.
FIELDS = (
    "title", "machine.name", "steel.currency", "sheet.number", "sheet.owner", "sheet.drawn_by", "sheet.approved_by",
    "sheet.date",
)  # fmt: skip
LISTS = {
    "machine.outline": lambda t: [{"name": t, "at": [0, 0, 0], "size": [300, 200, 100]}],
    "machine.fitted": lambda t: [{"name": t, "mass": 3, "at": [10, 10, 200]}],
    "machine.moving": lambda t: [{"name": t, "mass": 3, "at": [10, 10, 200], "to": [90, 10, 200]}],
    "frame.stored": lambda t: [{"name": t, "mass": 3, "at": [10, 10, 200]}],
}
PLAIN_NUMBER = re.compile(r"[+-]?[0-9.]+")


def hostile_source(hostile):
    """The sample with the text wherever a brief has text, as far as it is taken; refused in plain words is safe as well."""
    source = sample_source()
    for key, value in [*((f, hostile) for f in FIELDS), *((k, make(hostile)) for k, make in LISTS.items())]:
        tried = source.with_value(key, value)
        reading = tried.resolve()
        if reading.brief is not None:
            source = tried
        else:
            assert all(f.message and f.field.startswith(key) for f in reading.findings)
    return source


def names_are_plain(folder):
    for path in folder.rglob("*"):
        assert re.fullmatch(r"[A-Za-z0-9][A-Za-z0-9._-]{0,99}", path.name), path.name
        assert not path.name.endswith(".")
        assert PureWindowsPath(path.name).stem.lower() not in RESERVED
        assert not path.is_symlink()


def lists_hold_no_formula(folder):
    import openpyxl

    for path in folder.rglob("*.csv"):
        with path.open(newline="", encoding="utf-8") as file:
            for cell in (c for row in csv.reader(file) for c in row):
                assert not cell.startswith(("=", "+", "-", "@", "\t", "\r")) or PLAIN_NUMBER.fullmatch(cell), (path.name, cell)
    book = openpyxl.load_workbook(folder / "lists.xlsx")
    assert all(re.fullmatch(r"[A-Za-z ]{1,31}", name) for name in book.sheetnames)
    cells = [c for sheet in book for row in sheet.iter_rows() for c in row]
    assert len(cells) > 100 and not [c for c in cells if c.data_type == "f" or c.hyperlink]


def drawings_are_whole(folder):
    import ezdxf
    import pymupdf

    for path in folder.rglob("*.dxf"):
        assert not ezdxf.readfile(path).audit().errors, path.name
    for path in folder.rglob("*.svg"):
        for node in ElementTree.parse(path).iter():
            assert node.tag.rpartition("}")[2] not in ("script", "image", "foreignObject", "a"), path.name
            assert not any(k.lower().startswith("on") or "href" in k for k in node.attrib), path.name
    for path in folder.rglob("*.3mf"):
        with zipfile.ZipFile(path) as book:
            for name in book.namelist():
                assert not name.startswith(("/", "..")) and "\\" not in name
                if name.endswith((".model", ".rels", ".xml")):
                    ElementTree.fromstring(book.read(name))
    for path in folder.rglob("*.pdf"):
        with pymupdf.open(path) as book:
            assert book.page_count and not book.embfile_count()
            assert not any(page.get_links() for page in book)


@pytest.mark.parametrize("hostile", HOSTILE, ids=range(len(HOSTILE)))
def test_the_packet_stays_in_its_folder(tmp_path, hostile):
    box = tmp_path / "box"
    box.mkdir()
    write_packet(stand_of(hostile_source(hostile)), box / "packet", force=False)
    assert [p.name for p in tmp_path.iterdir()] == ["box"]
    assert [p.name for p in box.iterdir()] == ["packet"]
    names_are_plain(box / "packet")
    lists_hold_no_formula(box / "packet")
    drawings_are_whole(box / "packet")

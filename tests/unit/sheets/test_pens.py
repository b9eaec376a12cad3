"""Every pen, read back from its file by another reader."""

import io
import math
import xml.etree.ElementTree as ET

import pytest

from framecore.sheets import write_dxf, write_pdf, write_svg
from framecore.sheets.drawing.model import Arc, Dimension, Leader, Line, Sheet, Text, ViewPlacement
from framecore.sheets.drawing.pens import text_width

MM = 72 / 25.4
SQUARE = ((100.0, 100.0), (160.0, 100.0), (160.0, 140.0), (100.0, 140.0))
DIM = Dimension(
    a=SQUARE[0], b=SQUARE[1], base=(100.0, 90.0), angle=0.0, value=600.0, text="600", text_at=(130.0, 92.0)
)
UP = Dimension(
    a=SQUARE[1], b=SQUARE[2], base=(170.0, 100.0), angle=math.pi / 2, value=400.0, text='15 3/4"',
    text_at=(168.0, 120.0),
)  # fmt: skip
SHEET = Sheet(
    title="Général ø½",
    size=(420.0, 297.0),
    primitives=(
        Line(points=SQUARE, closed=True),
        Line(points=((110.0, 110.0), (150.0, 110.0)), layer="hidden"),
        Arc(centre=(130.0, 120.0), radius=5.0),
        Arc(centre=(120.0, 120.0), radius=5.0, start=0.0, end=math.pi / 2),
        Text(at=(20.0, 20.0), text="ø12 × 45° ±½", height=3.5),
        DIM,
        UP,
        Leader(points=((140.0, 130.0), (150.0, 150.0)), text="A1", circled=True),
    ),
    views=(ViewPlacement(name="front", at=(100.0, 100.0), scale=0.1, box=(80.0, 80.0, 200.0, 180.0)),),
    scale_text="1:10",
)


@pytest.fixture
def pdf_page():
    pymupdf = pytest.importorskip("pymupdf")
    stream = io.BytesIO()
    write_pdf((SHEET, SHEET), stream)
    with pymupdf.open(stream=stream.getvalue(), filetype="pdf") as doc:
        assert doc.page_count == 2 and doc.metadata["title"] == SHEET.title
        yield doc[0]


def test_pdf_page_has_the_paper_size_and_its_text(pdf_page):
    assert pdf_page.rect.width / MM == pytest.approx(420, abs=0.05)
    assert pdf_page.rect.height / MM == pytest.approx(297, abs=0.05)
    text = pdf_page.get_text()
    assert "ø12 × 45° ±½" in text and "600" in text and "A1" in text
    assert all(f[1] != "n/a" for f in pdf_page.get_fonts(full=True)), "faces are embedded"


def test_pdf_lines_lie_where_they_were_drawn(pdf_page):
    boxes = [d["rect"] for d in pdf_page.get_drawings()]
    want = (100 * MM, (297 - 140) * MM, 160 * MM, (297 - 100) * MM)
    assert any(max(abs(a - b) for a, b in zip(box, want, strict=True)) < 0.05 * MM for box in boxes)
    # 0.5 and 0.25 mm, the file's numbers being scaled
    assert {round(d["width"] / MM, 2) for d in pdf_page.get_drawings()} == {0.5, 0.25}


def test_pdf_text_is_as_high_and_wide_as_measured(pdf_page):
    spans = [s for b in pdf_page.get_text("dict")["blocks"] for ln in b["lines"] for s in ln["spans"]]
    span = next(s for s in spans if "ø12" in s["text"])
    assert span["size"] / MM == pytest.approx(3.5 * 2048 / 1493, rel=1e-3)
    assert (span["bbox"][2] - span["bbox"][0]) / MM == pytest.approx(text_width(span["text"], 3.5), abs=0.05)


def test_pdf_is_the_same_each_time():
    a, b = io.BytesIO(), io.BytesIO()
    write_pdf((SHEET,), a)
    write_pdf((SHEET,), b)
    assert a.getvalue() == b.getvalue()


def groups(text):
    """Entities of a DXF text as (type, {code: [values]}), read pair by pair."""
    lines = text.splitlines()
    pairs = [(int(lines[i]), lines[i + 1].strip()) for i in range(0, len(lines) - 1, 2)]
    start = pairs.index((2, "ENTITIES"))
    out = []
    for code, value in pairs[start + 1 :]:
        if (code, value) == (0, "ENDSEC"):
            break
        if code == 0:
            out.append((value, {}))
        else:
            out[-1][1].setdefault(code, []).append(value)
    return out


@pytest.fixture
def dxf_text():
    stream = io.StringIO()
    write_dxf(SHEET, stream)
    return stream.getvalue()


def test_dxf_audits_clean(tmp_path):
    from ezdxf import recover

    write_dxf(SHEET, tmp_path / "a.dxf")
    doc, auditor = recover.readfile(tmp_path / "a.dxf")
    assert not auditor.errors and not auditor.fixes and not doc.audit().errors


def test_dxf_is_true_size_in_mm(dxf_text):
    entities = groups(dxf_text)
    (square,) = [e for kind, e in entities if kind == "LWPOLYLINE" and e[8] == ["visible"]]
    xs, ys = [float(v) for v in square[10]], [float(v) for v in square[20]]
    assert max(xs) - min(xs) == pytest.approx(600, abs=0.05)
    assert max(ys) - min(ys) == pytest.approx(400, abs=0.05)
    (circle,) = [e for kind, e in entities if kind == "CIRCLE" and e[8] == ["visible"]]
    assert float(circle[40][0]) == pytest.approx(50)


def test_dxf_dimensions_measure_the_true_size(dxf_text):
    found = sorted(float(e[42][0]) for kind, e in groups(dxf_text) if kind == "DIMENSION")
    assert found == pytest.approx([400.0, 600.0], abs=0.05)
    level = next(e for kind, e in groups(dxf_text) if kind == "DIMENSION" and e.get(50, ["0"])[0] == "0.0")
    assert float(level[14][0]) - float(level[13][0]) == pytest.approx(600, abs=0.05)


def test_svg_parses_and_is_in_millimetres():
    stream = io.StringIO()
    write_svg(SHEET, stream)
    root = ET.fromstring(stream.getvalue().encode())
    assert root.get("width") == "420mm" and root.get("viewBox") == "0 0 420 297"
    texts = [t.text for t in root.iter("{http://www.w3.org/2000/svg}text")]
    assert "ø12 × 45° ±½" in texts
    (square,) = [
        p for p in root.iter("{http://www.w3.org/2000/svg}polygon") if p.get("points").count(" ") == 3
    ]
    first = [float(v) for v in square.get("points").split()[0].split(",")]
    assert first == pytest.approx([100, 197], abs=0.05)

"""Sheets on the screen."""

from __future__ import annotations

import pytest
from PySide6.QtGui import QColor, QImage, QPainter

from app.sheetview.dialog import SheetDialog
from app.sheetview.pen import ScreenPen
from framecore.sheets.drawing.model import Arc, Dimension, Leader, Line, Sheet, Text


def render(sheet: Sheet, pixels_per_mm: int = 4) -> QImage:
    w, h = (round(s * pixels_per_mm) for s in sheet.size)
    image = QImage(w, h, QImage.Format.Format_RGB32)
    image.fill(QColor("white"))
    painter = QPainter(image)
    painter.scale(pixels_per_mm, pixels_per_mm)
    ScreenPen(painter, sheet.size[1]).play(sheet)
    painter.end()
    return image


def dark_box(image: QImage) -> tuple[int, int, int, int]:
    """Smallest box round everything that is not white."""
    hits = [
        (x, y)
        for y in range(image.height())
        for x in range(image.width())
        if QColor(image.pixel(x, y)).lightness() < 200
    ]
    xs, ys = [p[0] for p in hits], [p[1] for p in hits]
    return min(xs), min(ys), max(xs), max(ys)


def one(primitive) -> Sheet:
    return Sheet(title="t", size=(60.0, 40.0), primitives=(primitive,))


def test_y_points_up(qapp):
    left, top, right, bottom = dark_box(render(one(Line(points=((10.0, 5.0), (50.0, 5.0))))))
    assert abs(left - 40) <= 2 and abs(right - 200) <= 2
    assert abs((top + bottom) / 2 - (40 - 5) * 4) <= 2


def test_a_quarter_arc_runs_counter_clockwise(qapp):
    arc = Arc(centre=(30.0, 20.0), radius=10.0, start=0.0, end=1.5707963267948966)
    left, top, right, bottom = dark_box(render(one(arc)))
    assert abs(left - 120) <= 2 and abs(right - 160) <= 2
    assert abs(top - 40) <= 2 and abs(bottom - 80) <= 2


@pytest.mark.parametrize("height", [2.5, 5.0])
def test_capitals_have_the_height_asked_for(qapp, height):
    _, top, _, bottom = dark_box(render(one(Text(at=(10.0, 10.0), text="HE", height=height)), 10))
    assert (bottom - top + 1) / 10 == pytest.approx(height, abs=0.25)
    assert abs(bottom - 300) <= 3


def test_text_can_be_centred(qapp):
    left, _, right, _ = dark_box(render(one(Text(at=(30.0, 10.0), text="HH", align="centre")), 10))
    assert abs((left + right) / 2 - 300) <= 4


def test_a_dimension_spans_its_points(qapp):
    dim = Dimension(
        a=(10.0, 10.0),
        b=(50.0, 10.0),
        base=(10.0, 25.0),
        angle=0.0,
        value=400.0,
        text="400",
        text_at=(30.0, 27.0),
    )
    left, top, right, bottom = dark_box(render(one(dim)))
    assert abs(left - 40) <= 2 and abs(right - 200) <= 2
    assert bottom <= (40 - 11) * 4 + 2, "the extension line keeps off the feature"
    assert top < (40 - 27) * 4


def test_a_leader_shows_its_mark(qapp):
    plain = render(one(Leader(points=((10.0, 10.0), (30.0, 25.0)), text="")))
    ringed = render(one(Leader(points=((10.0, 10.0), (30.0, 25.0)), text="A1", circled=True)))
    assert dark_box(ringed)[2] > dark_box(plain)[2] + 20


def test_preview_pages_and_choice_of_paper(qtbot, window):
    window.show_sheets()
    dialog = window._sheets
    assert isinstance(dialog, SheetDialog) and dialog.isVisible()
    assert dialog.waiting and "being drawn" in dialog.told.text()
    assert not any(b.isEnabled() for b in dialog._saves), "there is nothing to save yet"
    qtbot.waitUntil(lambda: not dialog.waiting, timeout=60_000)
    assert not dialog.told.text() and all(b.isEnabled() for b in dialog._saves)
    assert dialog.pages.count() == len(dialog.sheets) > 0
    size = dialog.sheets[0].size
    other = "A4" if dialog.paper.currentText() != "A4" else "A3"
    dialog.paper.textActivated.emit(other)
    qtbot.waitUntil(lambda: dialog.sheets[0].size != size, timeout=60_000)
    assert window.document.source.value("sheet.paper") == other
    dialog.close()


@pytest.mark.parametrize(("kind", "head"), [("pdf", b"%PDF"), ("dxf", b"  0"), ("svg", b"<")])
def test_preview_saves_each_kind(qtbot, window, tmp_path, kind, head):
    window.show_sheets()
    dialog = window._sheets
    qtbot.waitUntil(lambda: not dialog.waiting, timeout=60_000)
    target = tmp_path / f"page.{kind}"
    dialog._ask = lambda *_: str(target)
    dialog.save(kind)
    assert target.read_bytes().startswith(head)
    assert str(target) in dialog.told.text()
    dialog.close()


def test_sheets_are_of_the_stand_shown_last(qtbot, window):
    """Changes while a drawing is at work: what comes of it is not shown as if it were of the last of them."""
    window.show_sheets()
    dialog, shown = window._sheets, []
    dialog._show = lambda _index: shown.append(dialog.sheets)
    for height in (790, 810):
        window.document.edit("frame.height", height)
        window.live.flush()
        assert dialog.waiting
    last = window.live.stand
    qtbot.waitUntil(lambda: not dialog.waiting, timeout=60_000)
    from framecore.sheets import compose

    assert len(shown) == 1
    assert [s.title for s in shown[0]] == [s.title for s in compose(last)] and shown[0] == compose(last)
    dialog.close()

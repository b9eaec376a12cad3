"""Step 3, the other way: two collars turned on a bar that stands out of the chuck, with a sketch of what is measured."""

from __future__ import annotations

import re
from collections.abc import Callable

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QGridLayout, QVBoxLayout, QWidget

from app.dialogs.levelling.field import Field, Said
from app.numbers import plain, shown
from app.theme import palette
from app.words import tr
from framecore.errors import UnitError
from framecore.seat.answer import slender_words
from framecore.seat.turning_test import MOST_SLENDER, TurningTest, checked
from framecore.units import INCH, parse_length

# name, label, example, least, most: mm; the letter stands in the sketch
MEASURES = (
    ("near", "A  diameter at the chuck", 24.98, 3.0, 300.0),
    ("free", "B  diameter at the free end", 25.01, 3.0, 300.0),
    ("between", "C  from collar to collar", 75, 10.0, 1500.0),
    ("overhang", "D  jaws to the free collar", 100, 10.0, 2000.0),
    ("bar", "E  diameter of the bar", 25, 3.0, 300.0),
    ("ways", "F  spindle axis above the ways", "may stay empty", 10.0, 1000.0),
    ("micrometer", "Each diameter is known within", "half the last digit", 0.0, 0.5),
)


class BarSketch(QWidget):
    """The bar in the chuck, its two collars and the measures by letter."""

    def __init__(self) -> None:
        super().__init__()
        self.setMinimumSize(300, 128)
        self.setAccessibleName(
            tr("Sketch: bar in the chuck with two collars. A and B their diameters, C between them, D from the jaws to the "
            "free collar, E the bar's diameter, F spindle axis above the ways")
        )

    def sizeHint(self) -> QSize:
        """Wide and low."""
        return QSize(360, 136)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paint chuck, bar, collars, ways and measures."""
        colours = palette()
        p = QPainter(self)
        p.setRenderHint(QPainter.RenderHint.Antialiasing)
        p.fillRect(self.rect(), QColor(colours.paper))
        w, axis = float(self.width()), 54.0
        jaws, near, free = 62.0, 0.36 * w, w - 62.0
        ways = float(self.height()) - 16
        p.setPen(QPen(QColor(colours.ink), 1.3))
        p.setBrush(QColor(colours.hover))
        p.drawRect(QRectF(14, axis - 34, 34, 68))
        p.drawRect(QRectF(48, axis - 16, jaws - 48, 32))
        p.drawRect(QRectF(jaws, axis - 7, free + 16 - jaws, 14))
        for x in (near, free):
            p.drawRect(QRectF(x - 7, axis - 12, 14, 24))
        p.setPen(QPen(QColor(colours.soft), 1, Qt.PenStyle.DashDotLine))
        p.drawLine(QPointF(6, axis), QPointF(w - 8, axis))
        p.setPen(QPen(QColor(colours.soft), 1))
        p.drawLine(QPointF(70, ways), QPointF(w - 10, ways))
        p.drawText(QRectF(72, ways, w - 90, 15), Qt.AlignmentFlag.AlignLeft, tr("ways"))
        p.setPen(QPen(QColor(colours.accent), 1.2))
        self._measure(p, near, free, axis - 24, "C")
        self._measure(p, jaws, free, axis + 28, "D")
        for x, letter in ((near, "A"), (free, "B")):
            p.drawText(QRectF(x - 28, axis - 40, 18, 15), Qt.AlignmentFlag.AlignRight, letter) if letter == "A" else (
                p.drawText(QRectF(x + 10, axis - 40, 18, 15), Qt.AlignmentFlag.AlignLeft, letter)
            )
        p.drawText(QRectF((jaws + near) / 2 - 8, axis - 26, 16, 15), Qt.AlignmentFlag.AlignCenter, "E")
        right = w - 22
        p.drawLine(QPointF(right, axis), QPointF(right, ways))
        self._head(p, QPointF(right, axis), 0, -1)
        self._head(p, QPointF(right, ways), 0, 1)
        p.drawText(QRectF(right + 4, (axis + ways) / 2 - 8, 16, 16), Qt.AlignmentFlag.AlignCenter, "F")
        p.end()

    def _measure(self, p: QPainter, a: float, b: float, y: float, letter: str) -> None:
        p.drawLine(QPointF(a, y), QPointF(b, y))
        self._head(p, QPointF(a, y), -1, 0)
        self._head(p, QPointF(b, y), 1, 0)
        p.fillRect(QRectF((a + b) / 2 - 8, y - 8, 16, 16), QColor(palette().paper))
        p.drawText(QRectF((a + b) / 2 - 8, y - 8, 16, 16), Qt.AlignmentFlag.AlignCenter, letter)

    @staticmethod
    def _head(p: QPainter, at: QPointF, dx: float, dy: float) -> None:
        for side in (-3.0, 3.0):
            p.drawLine(at, at - QPointF(6 * dx - side * dy, 6 * dy - side * dx))


def _example(example: float | str, units: str) -> str:
    """What an empty field shows: a measure with its unit, or words."""
    if isinstance(example, str):
        return example
    return shown(f"{example / INCH:.3g} in" if units.startswith("inch") else f"{example:g} mm")


def _reader(low: float, high: float, units: str) -> Callable[[str], float]:
    def read(text: str) -> float:
        value = parse_length(text, units)
        if not low <= value <= high:
            near = min(max(value, low), high)
            raise UnitError(f"{value:g} mm is not possible here; allowed: {low:g} to {high:g} mm, nearest {near:g} mm.")
        return value

    return read


def half_digit(texts: list[str], units: str) -> float:
    """Return half the last digit typed, mm, at most half a millimetre: how close a diameter is known by itself."""
    found = [re.search(r"\d*\.(\d+)", t) for t in texts]
    scale = INCH if units.startswith("inch") or any(m in texts[0] for m in ("in", '"')) else 1.0
    return min(max(0.5 * 10.0 ** -len(f[1]) if f else 0.5 for f in found) * scale, 0.5)


class CollarsPage(QWidget):
    """Measures of the turning test.

    Signals
    -------
    changed(), entered() : as of a field
    """

    changed = Signal()
    entered = Signal()

    def __init__(self, units: str) -> None:
        super().__init__()
        self._units = units
        self.fields: dict[str, Field] = {}
        self.said = Said()
        grid = QGridLayout()
        grid.setHorizontalSpacing(10)
        grid.setVerticalSpacing(6)
        for k, (name, label, example, low, high) in enumerate(MEASURES):
            field = self.fields[name] = Field(label, _reader(low, high, units), _example(example, units))
            grid.addWidget(field, k // 2, k % 2, Qt.AlignmentFlag.AlignTop)
            field.changed.connect(self._typed)
            field.entered.connect(self.entered)
        page = QVBoxLayout(self)
        page.setContentsMargins(0, 0, 0, 0)
        page.setSpacing(8)
        page.addWidget(BarSketch())
        page.addWidget(self.said)
        page.addLayout(grid)
        page.addStretch(1)

    def _typed(self) -> None:
        """Say it while it is typed: collars that do not fit, or a bar that bends by itself."""
        sentence = ""
        try:
            values = {n: f.value() for n, f in self.fields.items()}
            if all(values[n] is not None for n, *_ in MEASURES[:5]):
                checked(self._made(values))
            if values["overhang"] and values["bar"] and values["overhang"] / values["bar"] > MOST_SLENDER:
                sentence = slender_words(values["overhang"] / values["bar"]) + "."
        except UnitError as fault:
            # A measure that cannot be read says so below itself.
            sentence = str(fault) if not any(f.said.text() for f in self.fields.values()) else ""
        self.said.say(sentence)
        self.changed.emit()

    def _made(self, values: dict[str, float]) -> TurningTest:
        within = values["micrometer"]
        if within is None:
            within = half_digit([plain(self.fields[n].text) for n in ("near", "free")], self._units)
        return TurningTest(
            near=values["near"], free=values["free"], between=values["between"], overhang=values["overhang"],
            bar=values["bar"], within=within,
        )  # fmt: skip

    def ways(self) -> float:
        """Return the height of the axis above the ways, mm, 0 where not told; raises UnitError."""
        return self.fields["ways"].value() or 0.0

    def test(self) -> TurningTest | None:
        """Return the test, None where nothing was typed; raises UnitError."""
        values = {n: f.value() for n, f in self.fields.items()}
        if all(values[n] is None for n, *_ in MEASURES[:5]):
            return None
        for name, label, *_ in MEASURES[:5]:
            if values[name] is None:
                raise UnitError(f"A turning test needs {label[3:]} as well ({label[0]} in the sketch).")
        return checked(self._made(values))

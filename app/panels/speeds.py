"""Running speeds laid over the stand's frequencies. Loaded when first asked for."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np
import pyqtgraph as pg
from PySide6.QtCore import QRectF, Qt, Signal
from PySide6.QtGui import QColor
from PySide6.QtWidgets import QGraphicsRectItem

from app.numbers import shown
from app.theme import palette
from app.words import tr

if TYPE_CHECKING:
    from framecore.stand.model import Stand

_FLOOR = 0.40  # bands reach up to here, the lowest head stands above
_TICKS = (1, 2, 5, 10, 20, 50, 100, 200, 500)


class SpeedsPlot(pg.PlotWidget):
    """Modes as stems over the bands about running speeds, against frequency.

    A mode clear of every band has a disc, one in a band a triangle. A spindle's band is plain, the motor's hatched.

    Signals
    -------
    chosen(mode) : a stem's head was clicked
    """

    chosen = Signal(int)

    def __init__(self) -> None:
        super().__init__()
        self.setMinimumHeight(150)
        self.setMenuEnabled(False)
        self.hideButtons()
        self.setMouseEnabled(False, False)
        self.setAccessibleName(tr("Frequencies and running speeds"))
        for part in (self, self.viewport()):
            part.setFocusPolicy(Qt.FocusPolicy.NoFocus)  # the list of modes beside it does by keys what a click does here
        self.stems = pg.PlotDataItem(connect="pairs", antialias=True)  # or some are drawn twice as wide as others
        self.heads = pg.ScatterPlotItem(size=11, pxMode=True)
        self.least = pg.InfiniteLine(angle=90)
        self.ways = pg.PlotDataItem(connect="pairs")  # from where the reference has a mode to where it is now
        self.kept = pg.ScatterPlotItem(size=10, pxMode=True)
        self.heads.sigClicked.connect(self._clicked)
        for item in (self.least, self.stems, self.ways, self.kept, self.heads):
            self.addItem(item)
        self.getAxis("left").hide()
        self.setLabel("bottom", "Hz")
        self.setYRange(0, 1.08, padding=0)
        self._loose: list[pg.GraphicsObject] = []
        self._stand: Stand | None = None
        self._reference: Stand | None = None
        self.mode = 0
        self.recolour()

    def recolour(self) -> None:
        """Take the colours of the present palette."""
        c = palette()
        self.setBackground(c.paper)
        self.stems.setPen(pg.mkPen(QColor(c.ink), width=1.5))
        self.least.setPen(pg.mkPen(QColor(c.accent), width=1, style=Qt.PenStyle.DashLine))
        dashed = pg.mkPen(QColor(c.look), width=1.3)
        dashed.setDashPattern([4.0, 3.0])
        self.ways.setPen(dashed)
        self.kept.setPen(pg.mkPen(QColor(c.look), width=1.3))
        self.kept.setBrush(pg.mkBrush(QColor(c.paper)))
        axis = self.getAxis("bottom")
        axis.setPen(pg.mkPen(QColor(c.line)))
        axis.setTextPen(pg.mkPen(QColor(c.soft)))
        if self._stand is not None:
            self.show_stand(self._stand)

    def choose(self, mode: int) -> None:
        """Mark one mode."""
        self.mode = mode
        if self._stand is not None:
            self.show_stand(self._stand)

    def set_reference(self, stand: Stand | None) -> None:
        """Show the modes of ``stand`` beside these from now on."""
        self._reference = stand
        if self._stand is not None:
            self.show_stand(self._stand)

    def show_stand(self, stand: Stand) -> None:
        """Show the modes and running speeds of ``stand``."""
        self._stand = stand
        for item in self._loose:
            self.removeItem(item)
        self._loose = []
        hz = np.asarray(stand.strength.modes_hz, float)
        motion, limits = stand.strength.motion, stand.brief.limits
        x = np.log10(hz)
        level = np.linspace(1.0, _FLOOR + 0.12, len(hz))
        c = palette()
        known = paired(stand, self._reference)
        pairs = [(math.log10(was), x[k], level[k]) for k, was in enumerate(known) if was]
        self.kept.setData([p[0] for p in pairs], [p[2] for p in pairs])
        self.ways.setData([v for p in pairs for v in p[:2]], [p[2] for p in pairs for _ in (0, 1)])
        low = min([float(x.min()), *(p[0] for p in pairs)]) - 0.55
        for speed in motion.speeds:
            self._band(speed.hz, speed.rpm, limits.speed_band, speed.what == "motor", low)
        self.stems.setData(np.repeat(x, 2), np.column_stack([np.zeros(len(x)), level]).ravel())
        inside = [any(abs(f - s.hz) < limits.speed_band * s.hz for s in motion.speeds) for f in hz.tolist()]
        fills = [QColor(c.accent if k == self.mode else c.look if near else c.ink) for k, near in enumerate(inside)]
        self.heads.setData(
            [
                {"pos": (x[k], level[k]), "data": k, "symbol": "t1" if inside[k] else "o", "brush": pg.mkBrush(fills[k]),
                 "pen": pg.mkPen(fills[k]), "size": 14 if k == self.mode else 10}
                for k in range(len(hz))
            ]
        )  # fmt: skip
        self.setAccessibleDescription(_told(motion.names, hz, inside, [s.rpm for s in motion.speeds]))
        for k, name in enumerate(motion.names):
            text = pg.TextItem(f"{k + 1} {tr(name)}" + (f", {tr('near a speed')}" if inside[k] else ""), anchor=(0, 0.5))
            text.setColor(QColor(c.accent if k == self.mode else c.ink))
            was = known[k]
            text.setPos(max(x[k], math.log10(was) if was else x[k]) + 0.03, level[k])  # clear of both heads
            self._add(text)
        self.least.setValue(math.log10(max(limits.frequency, 0.1)))
        high = max([float(x.max()), *(p[0] for p in pairs)]) + 0.75
        self.setXRange(low, high, padding=0)
        self.getAxis("bottom").setTicks([[(math.log10(t), str(t)) for t in _TICKS if low <= math.log10(t) <= high]])

    def _band(self, hz: float, rpm: float, band: float, motor: bool, low: float) -> None:
        left, right = max(low, math.log10(hz * (1 - band))) if band < 1 else low, math.log10(hz * (1 + band))
        if right <= low:
            return
        c = palette()
        box = QGraphicsRectItem(QRectF(left, 0.0, right - left, _FLOOR))
        colour = QColor(c.look if motor else c.soft)
        colour.setAlpha(120 if motor else 46)
        box.setBrush(pg.mkBrush(colour))
        if motor:
            brush = box.brush()
            brush.setStyle(Qt.BrushStyle.BDiagPattern)
            box.setBrush(brush)
        pen = QColor(c.look if motor else c.soft)
        box.setPen(pg.mkPen(pen, width=1))
        box.setZValue(-5)
        self._add(box)
        # The motor's words stand above its band, as its hatching would run through them.
        text = (
            pg.TextItem(tr(f"motor {rpm:.0f} rpm"), anchor=(0, 1)) if motor
            else pg.TextItem(f"{rpm:.0f}", anchor=(0, 0.5), angle=90)
        )  # fmt: skip
        text.setColor(QColor(c.look if motor else c.soft))
        text.setPos(left if motor else left + 0.03, _FLOOR - 0.02 if motor else 0.02)
        self._add(text)

    def _add(self, item: pg.GraphicsObject) -> None:
        self.addItem(item)
        self._loose.append(item)

    def _clicked(self, _item: object, spots: list[pg.SpotItem]) -> None:
        if len(spots):
            self.chosen.emit(int(spots[0].data()))


def paired(stand: Stand, reference: Stand | None) -> list[float | None]:
    """Return for each mode the frequency of the same movement of the reference, Hz; None where it has no such.

    Movements change places in the order as a stand changes, so they are known by their names; of one name, in order.
    """
    if reference is None:
        return [None] * len(stand.strength.modes_hz)
    had: dict[str, list[float]] = {}
    for name, hz in zip(reference.strength.motion.names, reference.strength.modes_hz.tolist(), strict=True):
        had.setdefault(name, []).append(float(hz))
    return [had[name].pop(0) if had.get(name) else None for name in stand.strength.motion.names]


def _told(names: Sequence[str], hz: np.ndarray, inside: Sequence[bool], speeds: Sequence[float]) -> str:
    """What the plot shows, in words."""
    modes = "; ".join(
        tr("mode {number}, {name}, {hz} Hz, {near}", number=k + 1, name=name, hz=shown(f"{f:.1f}"),
           near=tr("near a speed") if near else tr("clear"))
        for k, (name, f, near) in enumerate(zip(names, hz.tolist(), inside, strict=True))
    )  # fmt: skip
    return modes + "; " + tr("speeds {speeds} turns a minute", speeds=", ".join(f"{s:.0f}" for s in speeds)) + "."

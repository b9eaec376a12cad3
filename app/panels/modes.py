"""Natural frequencies as stems beside the least that counts as good. Loaded when first asked for."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import pyqtgraph as pg
from PySide6.QtCore import Qt
from PySide6.QtGui import QColor

from app.theme import palette

if TYPE_CHECKING:
    from framecore.stand.model import Stand


class ModesPlot(pg.PlotWidget):
    """One stem a mode, limit as a line: shows at a glance how near the second and third modes follow."""

    def __init__(self) -> None:
        super().__init__()
        self.setFixedHeight(170)
        self.setMenuEnabled(False)
        self.hideButtons()
        self.setMouseEnabled(False, False)
        self.setAccessibleName("Natural frequencies")
        self.stems = pg.PlotDataItem(connect="pairs")
        self.heads = pg.ScatterPlotItem(size=8, pxMode=True)
        self.limit = pg.InfiniteLine(angle=0)
        self.limit_text = pg.TextItem(anchor=(1, 1))
        for item in (self.stems, self.heads, self.limit, self.limit_text):
            self.addItem(item)
        self.setLabel("left", "Hz")
        self.setLabel("bottom", "mode")
        self.recolour()

    def recolour(self) -> None:
        """Take the colours of the present palette."""
        colours = palette()
        self.setBackground(colours.paper)
        ink = QColor(colours.ink)
        self.stems.setPen(pg.mkPen(ink, width=2))
        self.heads.setBrush(pg.mkBrush(ink))
        self.heads.setPen(pg.mkPen(ink))
        self.limit.setPen(pg.mkPen(QColor(colours.accent), width=1, style=Qt.PenStyle.DashLine))
        self.limit_text.setColor(QColor(colours.accent))
        for side in ("left", "bottom"):
            axis = self.getAxis(side)
            axis.setPen(pg.mkPen(QColor(colours.line)))
            axis.setTextPen(pg.mkPen(QColor(colours.soft)))

    def show_stand(self, stand: Stand) -> None:
        """Show the modes of ``stand``."""
        hz = np.asarray(stand.strength.modes_hz, dtype=float)
        n = np.arange(1, len(hz) + 1)
        least = stand.brief.limits.frequency
        x = np.repeat(n, 2).astype(float)
        y = np.column_stack((np.zeros(len(hz)), hz)).ravel()
        self.stems.setData(x, y)
        self.heads.setData(n, hz)
        self.limit.setValue(least)
        self.limit_text.setText(f"at least {least:g} Hz")
        self.limit_text.setPos(len(hz) + 0.5, least)
        self.setXRange(0.5, len(hz) + 0.5, padding=0)
        self.setYRange(0, 1.15 * max(float(hz.max(initial=1.0)), least), padding=0)
        self.getAxis("bottom").setTicks([[(int(i), str(int(i))) for i in n]])

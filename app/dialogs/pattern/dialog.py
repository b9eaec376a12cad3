"""The one place for the machine's hole pattern: ways to give it at the left, what it gives to scale at the right."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QCheckBox,
    QDialog,
    QDialogButtonBox,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QTabWidget,
    QVBoxLayout,
    QWidget,
)

from app.dialogs.pattern.carry import carried
from app.dialogs.pattern.distances import DistancesWay
from app.dialogs.pattern.manual import ManualWay
from app.dialogs.pattern.picture import Arrow, PatternPicture
from app.dialogs.pattern.rubbing import RubbingWay
from app.dialogs.pattern.way import Way
from app.dialogs.sizes import open_at
from app.view3d.holes import Points, middle, mirrors, moved
from app.view3d.written import small
from app.words import tr
from framecore.units import format_length

if TYPE_CHECKING:
    from app.document import Document

WAYS = ("From the &manual", "Measured &distances", "From a &rubbing")


class PatternDialog(QDialog):
    """Holes in one of several ways; taken over as one step of the history."""

    def __init__(self, document: Document, parent: QWidget | None = None, way: int = 0) -> None:
        super().__init__(parent)
        self.setWindowTitle(tr("Hole pattern"))
        open_at(self, 1040, 620)
        self._document = document
        self._brief = document.reading.brief
        self._units = str(document.source.value("units") or "metric")
        old: Points = self._brief.machine.holes if self._brief else ()
        raw = document.source.value("machine.holes")
        hole = self._usual_hole()
        self.manual = ManualWay(self._units, old, raw)
        self.distances = DistancesWay(self._units, hole)
        self.rubbing = RubbingWay(self._units, hole)
        self.ways: tuple[Way, ...] = (self.manual, self.distances, self.rubbing)
        self._old = old
        self._changed: Points | None = None  # by hand in the picture, or made even
        self._base: Points = ()
        self.picture = PatternPicture()
        self.picture.units = self._units
        self.told = QLabel()
        self.told.setWordWrap(True)
        self.told.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self.even = QPushButton(tr("Make it &even"))
        self.even.setToolTip(tr("The nearest pattern with mirror lines, and how far each hole moves to it"))
        self.symmetric = QCheckBox(tr("Keep it &symmetric"))
        self.symmetric.setToolTip(tr("A hole dragged in the picture takes its mirror images along"))
        self.carry = QCheckBox(tr("&New datum: the machine stays over its holes"))
        self.carry.setToolTip(
            tr("Centre of mass, shape and parts of the machine count from the datum; where that is another one than before "
            "they are written from the new one")
        )
        self._told_datum = False  # the maker said so
        self.carry.clicked.connect(self._datum_told)
        self._lay_out()
        self.tabs.setCurrentIndex(way)
        self.even.clicked.connect(self.make_even)
        self.tabs.currentChanged.connect(self._again)
        self.picture.taken.connect(self._taken)
        self.picture.moved.connect(self._dragged)
        for one in self.ways:
            one.changed.connect(self._again)
        self._again()

    def _lay_out(self) -> None:
        self.tabs = QTabWidget()
        self.tabs.setAccessibleName(tr("Ways to give the pattern"))
        for one, name in zip(self.ways, WAYS, strict=True):
            self.tabs.addTab(one, tr(name))
        self.buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Ok | QDialogButtonBox.StandardButton.Cancel)
        self.take = self.buttons.button(QDialogButtonBox.StandardButton.Ok)
        self.buttons.accepted.connect(self.accept)
        self.buttons.rejected.connect(self.reject)
        right = QVBoxLayout()
        right.addWidget(self.picture, 1)
        right.addWidget(self.told)
        middle_row = QHBoxLayout()
        middle_row.addWidget(self.tabs, 1)
        middle_row.addLayout(right, 1)
        foot = QHBoxLayout()
        for part in (self.even, self.symmetric, self.carry):
            foot.addWidget(part)
        foot.addStretch(1)
        foot.addWidget(self.buttons)
        page = QVBoxLayout(self)
        page.setContentsMargins(16, 14, 16, 14)
        page.addLayout(middle_row, 1)
        page.addLayout(foot)

    def _usual_hole(self) -> float:
        from framecore.catalogue import thread

        return thread(self._brief.machine.bolt if self._brief else "M10").medium

    # -- what is shown -------------------------------------------------------------------------------------

    @property
    def way(self) -> Way:
        """The way in use."""
        return self.ways[self.tabs.currentIndex()]

    @property
    def holes(self) -> Points:
        """The pattern as it would be taken over; none while something is missing."""
        return self.way.holes if self._changed is None else self._changed

    def _again(self, *_: object) -> None:
        self._changed = None
        self._show(self.way.arrows, self.way.told)

    def _show(self, arrows: tuple[Arrow, ...], told: str) -> None:
        holes = self.holes
        self.picture.show_holes(holes, arrows)
        self.told.setText(tr(told))
        self.take.setEnabled(bool(holes))
        self.even.setEnabled(len(holes) > 1)
        self.symmetric.setEnabled(mirrors(holes).any)
        self.carry.setEnabled(self._shift() != (0.0, 0.0))
        if not self._told_datum:
            # A list of places is mostly the one there was, put right: its datum stays. The other ways begin anew.
            self.carry.setChecked(not (self.way is self.manual and self.manual.hole_by_hole and bool(self._old)))

    def _datum_told(self) -> None:
        self._told_datum = True

    def _shift(self) -> tuple[float, float]:
        """Return what the datum's move changes of every place that counts from it, mm."""
        if not self.holes:
            return 0.0, 0.0
        (x0, y0), (x1, y1) = middle(self._old), middle(self.holes)
        return round(x1 - x0, 3) + 0.0, round(y1 - y0, 3) + 0.0

    # -- hands ---------------------------------------------------------------------------------------------

    def _put(self, holes: Points, arrows: tuple[Arrow, ...], told: str) -> None:
        """Show a pattern that differs from what the way gave by itself."""
        if self.way.take(holes):
            holes = self.way.holes
        self._changed = holes
        self._show(arrows, told)

    def _taken(self, _k: int) -> None:
        self._base = self.holes

    def _dragged(self, k: int, x: float, y: float) -> None:
        holes = moved(self._base, k, (x, y), self.symmetric.isChecked())
        place = f"x {format_length(x, self._units)}, y {format_length(y, self._units)}"
        self._put(holes, (), f"Hole {k + 1} is dragged to {place}.")

    def make_even(self) -> None:
        """Take the nearest pattern with mirror lines instead."""
        from framecore.seat.symmetric import nearest_symmetric

        before = self.holes
        found = nearest_symmetric(before) if len(before) > 1 else ()
        if not found:
            self._show(self.picture.arrows, "The holes do not pair up about a mirror line; the pattern stays as it is.")
            return
        best = found[0]
        # How far each hole goes within the pattern, laid as the new one is: turning the whole moves no hole in it.
        to = self.way.straight(best.holes, best.angle)
        arrows = tuple((k, dx, dy) for k, (dx, dy) in enumerate(_ways(before, best.holes, to)))
        each = ", ".join(f"hole {k} by {small(off, self._units)}" for k, off in enumerate(best.off, 1))
        self._put(to, arrows, f"{best.text} Each hole moves: {each}.")

    def accept(self) -> None:
        """Put the pattern into the brief."""
        holes = self.holes
        if not holes:
            return
        values = {"machine.holes": self.way.rows(holes)}
        if self.carry.isChecked() and self._brief is not None:
            values |= carried(self._document.source, self._brief, self._shift())
        self._document.edit_all(values, "hole pattern")
        super().accept()


def _ways(before: Points, even: Points, laid: Points) -> list[tuple[float, float]]:
    """Return how each hole moves to its even place, seen in the axes the even pattern is laid in."""
    a, b = even[0], max(even, key=lambda p: math.dist(p, even[0]))
    p, q = laid[0], laid[even.index(b)]
    turn = math.atan2(q[1] - p[1], q[0] - p[0]) - math.atan2(b[1] - a[1], b[0] - a[0])
    c, s = math.cos(turn), math.sin(turn)
    steps = [(e[0] - o[0], e[1] - o[1]) for o, e in zip(before, even, strict=True)]
    return [(c * x - s * y, s * x + c * y) for x, y in steps]

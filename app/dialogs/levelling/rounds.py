"""The rounds kept beside the brief: a table, the twist round by round against its limit, and taking one out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHBoxLayout,
    QHeaderView,
    QLabel,
    QPushButton,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from app.theme import palette
from app.words import tr
from framecore.seat.learning import Round, learn

COLUMNS = ("When", "Twist\nmm/m", "Moved\nmm", "Twist\nafter", "Share\nlearnt", "Read")


def worst(values: Sequence[float]) -> float:
    """Return the twist furthest from nought, mm/m."""
    return max(values, key=abs, default=0.0)


@dataclass(frozen=True, slots=True)
class Row:
    """One round in words; ``twist`` mm/m."""

    cells: tuple[str, ...]
    twist: float


def rows_of(rounds: Sequence[Round]) -> tuple[Row, ...]:
    """Return the rounds in words; what was read after one is what the next one read."""
    out = []
    for k, r in enumerate(rounds):
        after = rounds[k + 1] if k + 1 < len(rounds) else None
        learned = learn(rounds[: k + 2])
        taught = after is not None and bool(r.moves) and after.places == r.places
        moves = ", ".join(f"{n.removeprefix('foot ')} {mm:+.3f}" for n, mm in r.moves.items()) or "none"
        out.append(
            Row((
                r.when or "not noted", f"{worst(r.twist):+.3f}", moves,
                f"{worst(after.twist):+.3f}" if after else "not read yet",
                f"{learned.share:.2f} ± {learned.sd:.2f}" if taught else "none yet", "; ".join(r.readings),
            ), worst(r.twist))
        )  # fmt: skip
    return tuple(out)


class TwistPlot(QWidget):
    """Twist of each round as a dot, the limit as a band."""

    def __init__(self, limit: float) -> None:
        super().__init__()
        self.limit = limit
        self.twist: tuple[float, ...] = ()
        self.setMinimumSize(150, 90)
        self.setMaximumWidth(220)

    def sizeHint(self) -> QSize:
        """Small."""
        return QSize(160, 120)

    def show_twist(self, twist: tuple[float, ...], limit: float) -> None:
        """Draw these, mm/m."""
        self.twist, self.limit = twist, limit
        said = ", ".join(f"{t:+.3f}" for t in twist) or "none"
        self.setAccessibleName(tr(f"Twist of the rounds, mm/m: {said}; limit {limit:g}"))
        self.setToolTip(tr(f"Twist of each round, mm/m; the band is the limit of {limit:g} mm/m either way"))
        self.update()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paint band, nought, dots and the line from one to the next."""
        colours = palette()
        p = QPainter(self)
        p.setRenderHint(QPainter.RenderHint.Antialiasing)
        p.fillRect(self.rect(), QColor(colours.paper))
        room = QRectF(self.rect()).adjusted(10, 20, -10, -18)
        most = max([abs(t) for t in self.twist] + [1.6 * self.limit, 1e-6])
        half = room.height() / 2

        def y(t: float) -> float:
            return room.center().y() - t / most * half

        p.fillRect(QRectF(room.left(), y(self.limit), room.width(), y(-self.limit) - y(self.limit)), QColor(colours.lit))
        p.setPen(QPen(QColor(colours.line), 1))
        p.drawLine(QPointF(room.left(), y(0)), QPointF(room.right(), y(0)))
        p.setPen(QColor(colours.soft))
        p.drawText(QRectF(6, 2, self.width() - 12, 16), Qt.AlignmentFlag.AlignLeft, tr("twist, round by round"))
        low = QRectF(6, self.height() - 17, self.width() - 12, 16)
        p.drawText(low, Qt.AlignmentFlag.AlignLeft, tr(f"band: ±{self.limit:g} mm/m"))
        step = room.width() / max(len(self.twist), 1)
        dots = [QPointF(room.left() + step * (k + 0.5), y(t)) for k, t in enumerate(self.twist)]
        p.setPen(QPen(QColor(colours.ink), 1.2))
        for a, b in pairwise(dots):
            p.drawLine(a, b)
        for dot, t in zip(dots, self.twist, strict=True):
            well = abs(t) <= self.limit
            p.setBrush(QColor(colours.good if well else colours.look))
            p.setPen(Qt.PenStyle.NoPen)
            if well:
                p.drawEllipse(dot, 4, 4)
            else:
                p.drawRect(QRectF(dot.x() - 4, dot.y() - 4, 8, 8))
        p.end()


class RoundsPanel(QWidget):
    """The record.

    Signals
    -------
    take_out(index) : this round is to go
    save() : the brief wants a file first
    """

    take_out = Signal(int)
    save = Signal()

    def __init__(self, limit: float) -> None:
        super().__init__()
        self.table = QTableWidget(0, len(COLUMNS))
        self.table.setHorizontalHeaderLabels([tr(c) for c in COLUMNS])
        self.table.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        self.table.horizontalHeader().setStretchLastSection(True)
        self.table.verticalHeader().hide()
        self.table.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.table.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.table.setAccessibleName(tr("Rounds kept so far"))
        self.plot = TwistPlot(limit)
        self.words = QLabel()
        self.words.setWordWrap(True)
        self.out = QPushButton(tr("Take out …"))
        self.out.setAutoDefault(False)
        self.out.clicked.connect(lambda: self.take_out.emit(self.table.currentRow()))
        self.save_brief = QPushButton(tr("Save the brief …"))
        self.save_brief.setAutoDefault(False)
        self.save_brief.clicked.connect(self.save)
        self.table.itemSelectionChanged.connect(lambda: self.out.setEnabled(self.table.currentRow() >= 0))
        middle = QHBoxLayout()
        middle.addWidget(self.table, 1)
        middle.addWidget(self.plot)
        row = QHBoxLayout()
        row.addWidget(self.words, 1)
        row.addWidget(self.save_brief)
        row.addWidget(self.out)
        page = QVBoxLayout(self)
        page.setContentsMargins(8, 8, 8, 8)
        page.setSpacing(6)
        page.addLayout(middle, 1)
        page.addLayout(row)

    def show_rounds(self, rounds: Sequence[Round], limit: float, *, file: str, fault: str = "") -> None:
        """Show the rounds; ``file`` is the record's name, "" while the brief has none."""
        rows = rows_of(rounds)
        self.table.setRowCount(len(rows))
        for r, row in enumerate(rows):
            for c, text in enumerate(row.cells):
                item = QTableWidgetItem(tr(text))
                item.setToolTip(tr(text))
                self.table.setItem(r, c, item)
        self.plot.show_twist(tuple(r.twist for r in rows), limit)
        self.save_brief.setVisible(not file)
        self.out.setVisible(bool(file))
        self.out.setEnabled(bool(rows) and self.table.currentRow() >= 0)
        if fault:
            self.words.setText(tr(f"▲ {fault}"))
        elif not file:
            self.words.setText(tr("The rounds are kept in a file beside the brief, and this brief has no file yet."))
        else:
            self.words.setText(tr(f"Kept in {file}." if rows else f"No round kept yet; they would go to {file}."))

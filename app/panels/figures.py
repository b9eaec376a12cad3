"""The right side: every figure as a row that opens its working."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QRectF, QSize, Qt, QTimer, Signal
from PySide6.QtGui import QColor, QFont, QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import (
    QAbstractButton,
    QHBoxLayout,
    QScrollArea,
    QSizePolicy,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from app.helping import figure_tip
from app.live.late import Late
from app.numbers import limit_words, quantity
from app.panels.verdicts import VerdictsButton
from app.panels.words import difference
from app.theme import palette
from app.words import tr
from framecore.figures.book import LATE_IDS
from framecore.figures.model import Figure, Verdict
from framecore.figures.words import GROUP_TITLES

if TYPE_CHECKING:
    from framecore.stand.model import Stand


def tabular(font: QFont) -> QFont:
    """Return ``font`` with figures of one width, so that columns of numbers stand still."""
    out = QFont(font)
    tag = QFont.Tag.fromString("tnum") if hasattr(QFont, "Tag") else None
    if tag is not None and tag.isValid():
        out.setFeature(tag, 1)
    return out


def paint_verdict(painter: QPainter, box: QRectF, verdict: Verdict, colour: QColor) -> None:
    """Draw the shape of a verdict: disc good, triangle look, square stop."""
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(colour)
    if verdict is Verdict.GOOD:
        painter.drawEllipse(box)
    elif verdict is Verdict.LOOK:
        painter.drawPolygon(
            QPolygonF([box.bottomLeft(), box.bottomRight(), (box.topLeft() + box.topRight()) / 2])
        )
    elif verdict is Verdict.STOP:
        painter.drawRect(box)


class FigureRow(QAbstractButton):
    """One figure: label, value, verdict in word and shape, and the difference to the reference."""

    HEIGHT = 26

    def __init__(self, figure: Figure, units: str) -> None:
        super().__init__()
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self.setAttribute(Qt.WidgetAttribute.WA_Hover)
        self.figure = figure
        self.stale = False
        self._told: tuple[object, ...] = ()  # what was last asked to be shown
        self._waiting: tuple[str, Figure | None] | None = None  # units and reference, until it is written
        self._written: tuple[object, ...] = ()
        self._value = self._change = ""
        self.setAccessibleName(tr(figure.label))  # with its value as soon as it is written
        self.show_figure(figure, units, None, False)

    @property
    def value(self) -> str:
        """The value in words."""
        self._write()
        return self._value

    @property
    def change(self) -> str:
        """The difference to the reference in words, "" without one."""
        self._write()
        return self._change

    def sizeHint(self) -> QSize:
        """Two lines while a difference is shown, one otherwise."""
        return QSize(250, self.fontMetrics().height() + (24 if self.change else 10))

    def show_figure(self, figure: Figure, units: str, before: Figure | None, stale: bool) -> None:
        """Take a new value; a row that is folded away writes it down when its size or words are asked for."""
        self.figure = figure
        told = (figure.value, figure.unit, figure.verdict, figure.label, units, before and before.value, stale)
        if told == self._told:
            return
        self._told, self.stale, self._waiting = told, stale, (units, before)
        if not self.isHidden():
            self._write()

    def _write(self) -> None:
        """Put the figure into words; repaint only when something a reader sees has changed."""
        if self._waiting is None:
            return
        (units, before), self._waiting, figure = self._waiting, None, self.figure
        value = quantity(figure.value, figure.unit, units)
        change = "" if before is None else difference(figure.value, before.value, figure.unit, units)
        written = (value, change, self.stale, figure.verdict, figure.label)
        if written == self._written:
            return
        taller = bool(change) != bool(self._change)
        self._written, self._value, self._change = written, value, change
        told_change = ", " + tr("{change} to the reference", change=change) if change else ""
        self.setAccessibleName(f"{tr(figure.label)} {value} {tr(figure.verdict.value)}".strip() + told_change)
        limit = limit_words(figure, units)
        self.setToolTip(
            "\n".join(tr(t) for t in (figure.label, figure_tip(figure.id), limit, figure.note, "Click for the working") if t)
        )
        if taller:
            self.updateGeometry()
        self.update()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paint label left, value right, verdict in the last column."""
        colours = palette()
        painter = QPainter(self)
        box = self.rect()
        if self.hasFocus() or self.underMouse():
            painter.fillRect(box, QColor(colours.hover))
        if self.hasFocus():
            painter.setPen(QPen(QColor(colours.accent), 1))
            painter.drawRect(box.adjusted(0, 0, -1, -1))
        faint = QColor(colours.faint)
        ink = faint if self.stale else QColor(colours.ink)
        line = self.fontMetrics().height() + 10
        right = box.width() - 12
        mark_left = right - 52
        figure = self.figure
        if figure.verdict is not Verdict.NONE:
            colour = faint if self.stale else QColor(getattr(colours, figure.verdict.value))
            paint_verdict(painter, QRectF(mark_left, line / 2 - 4, 9, 9), figure.verdict, colour)
            painter.setPen(colour)
            painter.drawText(
                QRectF(mark_left + 15, 0, 40, line), Qt.AlignmentFlag.AlignVCenter, tr(figure.verdict.value)
            )
        painter.setFont(tabular(self.font()))
        metrics = painter.fontMetrics()
        width = metrics.horizontalAdvance(self.value)
        painter.setPen(ink)
        painter.drawText(
            QRectF(mark_left - 10 - width, 0, width + 2, line), Qt.AlignmentFlag.AlignVCenter, self.value
        )
        room = mark_left - 22 - width - 14
        painter.setPen(faint if self.stale else QColor(colours.soft))
        label = metrics.elidedText(tr(figure.label), Qt.TextElideMode.ElideRight, int(room))
        painter.drawText(QRectF(14, 0, room + 4, line), Qt.AlignmentFlag.AlignVCenter, label)
        if self.change:
            painter.setPen(QColor(colours.accent))
            painter.drawText(
                QRectF(14, line - 8, mark_left - 22, line - 6),
                Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter,
                tr(f"{self.change} to the reference"),
            )


# Groups that stand open at first; of the others only what needs a look is seen until they are opened.
REST_MS = 200  # after the last change, until the figures that take longer are worked out
OPEN_AT_FIRST = ("height", "steel", "mass", "stiffness", "strength")


class Group(QWidget):
    """A heading with the rows of one group.

    Closed, it still shows the rows whose verdict is not good: nothing that needs a look is hidden.
    """

    def __init__(self, title: str, opened: bool) -> None:
        super().__init__()
        self.head = QToolButton()
        self.head.setObjectName("group")
        self.head.setText(tr(title))
        self.head.setCheckable(True)
        self.head.setChecked(opened)
        self.head.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextBesideIcon)
        self.head.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.head.toggled.connect(self.arrange)
        self.rows: list[FigureRow] = []
        self.column = QVBoxLayout(self)
        self.column.setContentsMargins(0, 2, 0, 4)
        self.column.setSpacing(0)
        line = QHBoxLayout()
        line.setContentsMargins(4, 0, 0, 0)
        line.addWidget(self.head)
        self.column.addLayout(line)
        self.title = title
        self.arrange()

    def add(self, row: FigureRow) -> None:
        """Append a row."""
        self.rows.append(row)
        self.column.addWidget(row)

    def arrange(self) -> None:
        """Show the rows that are wanted, and say on the heading how many are not seen."""
        opened = self.head.isChecked()
        hidden = 0
        for row in self.rows:
            seen = opened or row.figure.verdict in (Verdict.LOOK, Verdict.STOP)
            hidden += not seen
            if seen == row.isHidden():
                row.setVisible(seen)
        self.head.setArrowType(Qt.ArrowType.DownArrow if opened else Qt.ArrowType.RightArrow)
        text = self.title if opened or not hidden else f"{tr(self.title)}  ({hidden} more)"
        if self.head.text() != text:
            self.head.setText(tr(text))


class FiguresPanel(QWidget):
    """All figures by group.

    Signals
    -------
    chosen(Figure) : its working is asked for
    completed(stand) : its figures that take longer are there
    """

    chosen = Signal(object)
    completed = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("figures")
        self.rows: dict[str, FigureRow] = {}
        self._groups: dict[str, Group] = {}
        self._stand: Stand | None = None
        self._reference: Stand | None = None
        self._complete_for: tuple[Stand, Stand | None] | None = None
        self.stale = False
        self._later = QTimer(self)
        self._later.setSingleShot(True)
        self._later.setInterval(REST_MS)
        self._later.timeout.connect(self._show_late)
        self._late = Late(self)
        self._late.ready.connect(self._complete)
        self._late.fault.connect(self._fault)
        self._inner = QWidget()
        self._inner.setObjectName("plain")
        self._column = QVBoxLayout(self._inner)
        self._column.setContentsMargins(0, 4, 0, 8)
        self._column.setSpacing(0)
        self._column.addStretch(1)
        scroll = self._scroll = QScrollArea()
        scroll.setWidgetResizable(True)
        scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        scroll.setWidget(self._inner)
        scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)  # the rows inside take the keys
        page = QVBoxLayout(self)
        page.setContentsMargins(0, 0, 0, 0)
        page.setSpacing(0)
        self.verdicts = VerdictsButton()
        self.verdicts.asked.connect(self._go_to)
        page.addWidget(self.verdicts)
        page.addWidget(scroll)

    def _group(self, name: str) -> Group:
        group = self._groups.get(name)
        if group is None:
            group = self._groups[name] = Group(GROUP_TITLES.get(name, name.capitalize()), name in OPEN_AT_FIRST)
            order = list(GROUP_TITLES)
            at = sum(1 for g in self._groups if g != name and _place(g, order) < _place(name, order))
            self._column.insertWidget(at, group)
        return group

    def show_stand(self, stand: Stand) -> None:
        """Show the figures of ``stand``; those that take longer follow when the hand rests, grey until then."""
        self._stand = stand
        whole = stand.figures.complete  # asked first: they may become so meanwhile
        figures = stand.figures.at_hand
        both = whole and (self._reference is None or self._reference.figures.complete)
        self._complete_for = (stand, self._reference) if both else None
        if not both:
            self._later.start()  # anew with every change: it ends when the hand rests
        late = () if whole else tuple(i for i in self.rows if i.startswith(LATE_IDS) and i not in figures)
        gone = [i for i in self.rows if i not in figures and i not in late]
        for name in gone:
            row = self.rows.pop(name)
            for group in self._groups.values():
                if row in group.rows:
                    group.rows.remove(row)
            row.hide()  # a row that came a moment ago would else be shown by its layout, as a window of its own
            row.setParent(None)
            row.deleteLater()
        before = self._reference.figures.at_hand if self._reference else {}
        units = stand.brief.units
        for name in late:
            row = self.rows[name]
            row.show_figure(row.figure, units, None, True)
        for name, figure in figures.items():
            row = self.rows.get(name)
            if row is None:
                row = self.rows[name] = FigureRow(figure, units)
                row.clicked.connect(lambda _=False, n=name: self._choose(n))
                self._group(figure.group).add(row)
            row.show_figure(figure, units, before.get(name), self.stale)
        for group in self._groups.values():
            if group.isHidden() == bool(group.rows):
                group.setVisible(bool(group.rows))
            group.arrange()
        self.verdicts.show_figures((r.figure for r in self.rows.values()), self.stale)

    def recolour(self) -> None:
        """Take the colours of the present palette."""
        self.verdicts.show_figures((r.figure for r in self.rows.values()), self.stale)

    @property
    def complete(self) -> bool:
        """Whether all figures of the present stand, and of the reference, are shown."""
        return self._complete_for == (self._stand, self._reference)

    def _show_late(self) -> None:
        """At rest: the figures that are worked out when asked for."""
        self._late.ask(*(s for s in (self._reference, self._stand) if s is not None))

    def _complete(self, stand: Stand) -> None:
        if stand is self._stand:
            self.show_stand(stand)
            self.completed.emit(stand)

    def _fault(self, fault: Exception) -> None:
        raise fault  # shown where all faults are shown

    def set_stale(self, stale: bool) -> None:
        """Grey the figures while they belong to an earlier brief."""
        if stale == self.stale:
            return
        self.stale = stale
        if self._stand is not None:
            self.show_stand(self._stand)

    def set_reference(self, stand: Stand | None) -> None:
        """Compare with ``stand`` from now on."""
        self._reference = stand
        if self._stand is not None:
            self.show_stand(self._stand)

    def show_row(self, name: str) -> None:
        """Bring the row of a figure into sight."""
        row = self.rows.get(name)
        if row is None:
            return
        if row.isHidden():
            self._group(row.figure.group).head.setChecked(True)
        self._scroll.ensureWidgetVisible(row)

    def _go_to(self, name: str) -> None:
        self.show_row(name)
        self._choose(name)

    def _choose(self, name: str) -> None:
        self.chosen.emit(self.rows[name].figure)


def _place(group: str, order: list[str]) -> Any:
    return order.index(group) if group in order else len(order)

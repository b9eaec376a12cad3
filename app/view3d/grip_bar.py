"""Beside the grips: the few things that can be done with them, and the field in which values are typed."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QEvent, QObject, QPoint, Qt, Signal
from PySide6.QtGui import QHideEvent, QKeyEvent, QShowEvent
from PySide6.QtWidgets import (
    QCheckBox,
    QFormLayout,
    QFrame,
    QGridLayout,
    QLabel,
    QLineEdit,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from app.words import tr
from framecore.errors import UnitError

BESIDE = 10  # px between the strip and the edges of the view
Take = Callable[[tuple[str, ...]], None]

HINT = "Drag a hole, or Tab to it and use the arrows; Enter types, Delete takes out. Shift or Alt: free of the rule."

SIZES = "Drag a grip, or Tab to it and use the arrows; Enter types, Delete frees a bearer. Shift or Alt: free of the rule."


class GripBar(QFrame):
    """A strip on the view: symmetry, one more, one less, the pattern's dialog, done."""

    even = Signal(bool)
    add = Signal()
    remove = Signal()
    more = Signal()
    done = Signal()

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.setObjectName("gripBar")
        self.setAutoFillBackground(True)
        self.setAccessibleName(tr("Holes on the view"))
        self.title = QLabel(tr("Holes"))
        self.title.setObjectName("heading")
        self.tick = QCheckBox(tr("Keep it &symmetric"))
        self.tick.setToolTip(tr("A hole's mirror images move with it"))
        self.plus = QPushButton(tr("Add a hole"))
        self.plus.setToolTip(tr("Insert, or a double click where it is to be"))
        self.minus = QPushButton(tr("Take it out"))
        self.minus.setToolTip(tr("Delete takes the chosen hole out"))
        self.dialog = QPushButton(tr("Pattern …"))
        self.dialog.setToolTip(tr("From the manual, from measured distances, from a rubbing"))
        self.shut = QPushButton(tr("Done"))
        for button in (self.plus, self.minus, self.dialog, self.shut):
            button.setAutoDefault(False)
        self.tick.toggled.connect(self.even)
        self.plus.clicked.connect(self.add)
        self.minus.clicked.connect(self.remove)
        self.dialog.clicked.connect(self.more)
        self.shut.clicked.connect(self.done)
        self.setToolTip(tr(HINT))
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(10, 6, 8, 6)
        self._lay_out(two=False)
        self.hide()

    def _lay_out(self, *, two: bool) -> None:
        """Put everything in one row, or in two where the view is too narrow for that."""
        tools = (self.plus, self.minus, self.dialog)
        for k, widget in enumerate((self.title, self.tick)):
            self._grid.addWidget(widget, 0, k, 1, 1 + two * k)
        for k, widget in enumerate(tools):
            self._grid.addWidget(widget, int(two), k if two else 2 + k)
        self._grid.addWidget(self.shut, 0, 3 if two else 5)

    def fit_into(self, width: int) -> None:
        """Take no more than ``width`` of the view, as far as the words allow."""
        parts = [w for w in (self.title, self.tick, self.plus, self.minus, self.dialog, self.shut) if not w.isHidden()]
        edges = self._grid.contentsMargins()
        need = sum(w.sizeHint().width() for w in parts) + (len(parts) - 1) * self._grid.horizontalSpacing()
        self._lay_out(two=need + edges.left() + edges.right() > width)
        self._grid.activate()
        self.adjustSize()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Follow the view's width while it is seen."""
        if event.type() == QEvent.Type.Resize:
            self.fit_into(event.size().width() - 2 * BESIDE)
        return super().eventFilter(watched, event)

    def showEvent(self, event: QShowEvent) -> None:
        """Begin to follow the view."""
        super().showEvent(event)
        self.parentWidget().installEventFilter(self)

    def hideEvent(self, event: QHideEvent) -> None:
        """Nothing to follow any more."""
        self.parentWidget().removeEventFilter(self)
        super().hideEvent(event)

    def show_family(self, title: str, holes: bool) -> None:
        """Show what belongs to this family of grips."""
        self.title.setText(tr(title))
        self.setAccessibleName(tr(f"{title} on the view"))
        for widget in (self.tick, self.plus, self.minus, self.dialog):
            widget.setVisible(holes)
        self.setToolTip(tr(HINT if holes else SIZES))
        self.show()
        self.fit_into(self.parentWidget().width() - 2 * BESIDE)

    def show_state(self, can_be_even: bool, chosen: bool) -> None:
        """Allow what can be done now."""
        self.tick.setEnabled(can_be_even)
        self.minus.setEnabled(chosen)


class TypeIn(QFrame):
    """A small field beside a grip; Enter takes what is typed, Escape leaves things as they are."""

    closed = Signal()

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.setObjectName("typeIn")
        self.setAutoFillBackground(True)
        self.lines: list[QLineEdit] = []
        self.told = QLabel()
        self.told.setObjectName("finding")
        self.told.setProperty("severity", "stop")
        self.told.setWordWrap(True)
        self.told.setFixedWidth(210)
        self._take: Take = lambda _texts: None
        self._fields: QWidget | None = None
        self._at = QPoint()
        self.page = QVBoxLayout(self)
        self.page.setContentsMargins(10, 8, 10, 8)
        self.page.addWidget(self.told)
        self.hide()

    def ask(self, name: str, fields: tuple[tuple[str, str], ...], at: QPoint, take: Take) -> None:
        """Open at a point of the view with these values; ``take`` gets the texts and may raise UnitError."""
        if self._fields is not None:
            self.page.removeWidget(self._fields)
            self._fields.hide()
            self._fields.deleteLater()
        self._fields = QWidget()
        form = QFormLayout(self._fields)
        form.setContentsMargins(0, 0, 0, 0)
        self._take, self._at, self.lines = take, at, []
        self.setAccessibleName(tr(name))
        for label, text in fields:
            line = QLineEdit(text)
            line.setMaximumWidth(150)
            line.setAccessibleName(f"{tr(name)}: {tr(label)}")
            line.returnPressed.connect(self._accept)
            line.textEdited.connect(lambda _text: self.say(""))
            form.addRow(tr(label), line)
            self.lines.append(line)
        self.page.insertWidget(0, self._fields)
        self.show()
        self.raise_()
        self.say("")
        self.lines[0].setFocus()
        self.lines[0].selectAll()

    def _accept(self) -> None:
        try:
            self._take(tuple(line.text() for line in self.lines))
        except UnitError as fault:
            self.say(str(fault))
        else:
            self.leave()

    def say(self, text: str) -> None:
        """Say what cannot be read, and stay within the view."""
        self.told.setText(tr(text))
        self.told.setVisible(bool(text))
        self.page.activate()
        self.adjustSize()
        room, at = self.parentWidget().rect(), self._at
        x = at.x() + 20 if at.x() + 20 + self.width() < room.width() else at.x() - 20 - self.width()
        self.move(max(4, x), max(4, min(at.y() - self.height() // 2, room.height() - self.height() - 4)))

    def leave(self) -> None:
        """Close."""
        self.hide()
        self.closed.emit()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Escape leaves; no other key goes on to the view."""
        if event.key() == Qt.Key.Key_Escape:
            self.leave()
        event.accept()

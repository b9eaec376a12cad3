"""Strokes at a window, by mouse and keyboard events only, each drawn from chance."""

from __future__ import annotations

import random
from collections import deque

import shiboken6
from PySide6.QtCore import QEvent, QPoint, Qt
from PySide6.QtGui import QAction, QKeyEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QAbstractButton,
    QApplication,
    QComboBox,
    QLineEdit,
    QMenu,
    QMenuBar,
    QTabBar,
    QTableWidget,
    QWidget,
)

from app.view3d import HeightSlider, StandView
from app.window import MainWindow
from tests.app.strokes import clicked, struck, usable

WORDS = (
    "", "0", "-1", "1e308", "nan", "inf", "3", "12.5", "29 1/2 in", "5'2\"", "0.75 m", "120", "800", "950", "1e-9", "999999",
    "lathe", "SHS 50x50x3", "SHS 40x40x3", "L 50x50x5", "M12", "S355", "no such thing", "../../x", "=1+1", "🔧", "a\tb",
    '"', "[1, 2]", "1, 2, 3", "\u202eabc", "ß" * 40, "x" * 300, "mass", "height", "holes",
)  # fmt: skip
BUTTONS = (Qt.MouseButton.LeftButton,) * 8 + (Qt.MouseButton.RightButton, Qt.MouseButton.MiddleButton)
HELD = (Qt.KeyboardModifier.NoModifier,) * 6 + (Qt.KeyboardModifier.ShiftModifier, Qt.KeyboardModifier.ControlModifier)
KEYS = (
    Qt.Key.Key_Tab, Qt.Key.Key_Backtab, Qt.Key.Key_Return, Qt.Key.Key_Escape, Qt.Key.Key_Space, Qt.Key.Key_Up, Qt.Key.Key_Down,
    Qt.Key.Key_Left, Qt.Key.Key_Right, Qt.Key.Key_Home, Qt.Key.Key_End, Qt.Key.Key_PageUp, Qt.Key.Key_PageDown,
    Qt.Key.Key_Delete, Qt.Key.Key_Backspace, Qt.Key.Key_Plus, Qt.Key.Key_Minus, Qt.Key.Key_F2, Qt.Key.Key_A, Qt.Key.Key_0,
)  # fmt: skip
# What a hand is drawn to; a click anywhere comes besides.
TARGETS = (QAbstractButton, QComboBox, QLineEdit, QTabBar, QMenuBar, QTableWidget, StandView, HeightSlider)


class Hands:
    """Strokes return what they were; ``trail`` has where they fell."""

    def __init__(self, chance: random.Random) -> None:
        self.chance = chance
        self.trail: deque[str] = deque(maxlen=40)
        self.window: MainWindow | None = None

    def _top(self) -> QWidget | None:
        popup = QApplication.activePopupWidget() or QApplication.activeModalWidget()
        if popup is not None:
            return popup
        tops = [w for w in QApplication.topLevelWidgets() if w.isVisible() and w.windowHandle() is not None]
        if not tops:
            return None
        return self.window if self.window in tops and self.chance.random() < 0.6 else self.chance.choice(tops)

    def _spot(self, top: QWidget) -> tuple[QPoint, str]:
        """A place in a window and what is there; half of the time something a hand is drawn to."""
        if self.chance.random() < 0.6:
            near = [
                w for w in top.findChildren(QWidget)
                if isinstance(w, TARGETS) and w.window() is top and not w.visibleRegion().isEmpty()
            ]  # fmt: skip
            if near:
                widget = self.chance.choice(near)
                box = widget.visibleRegion().boundingRect()
                at = box.topLeft() + QPoint(self.chance.randrange(box.width()), self.chance.randrange(box.height()))
                called = getattr(widget, "text", widget.accessibleName)
                name = called() if callable(called) else ""
                return widget.mapTo(top, at), f"{type(widget).__name__} {str(name)[:30]!r}"
        at = QPoint(self.chance.randrange(max(1, top.width())), self.chance.randrange(max(1, top.height())))
        return at, type(top.childAt(at)).__name__

    def _click(self, top: QWidget) -> str:
        at, what = self._spot(top)
        handle, button, held = top.windowHandle(), self.chance.choice(BUTTONS), self.chance.choice(HELD)
        self.trail.append(f"click {button.name} {held.name} on {what} of {type(top).__name__} at {at.x()},{at.y()}")
        QTest.mouseMove(handle, at)
        if usable(handle):
            clicked(handle, button, held, at, 2 if self.chance.random() < 0.08 else 1)
        return "click"

    def _drag(self, top: QWidget) -> str:
        at, what = self._spot(top)
        handle, button, held = top.windowHandle(), self.chance.choice(BUTTONS), self.chance.choice(HELD)
        self.trail.append(f"drag {button.name} {held.name} from {what} of {type(top).__name__} at {at.x()},{at.y()}")
        QTest.mousePress(handle, button, held, at)
        for _ in range(self.chance.randrange(2, 12)):
            step = QPoint(self.chance.randrange(-60, 61), self.chance.randrange(-60, 61))
            if usable(handle):
                at = QPoint(min(max(at.x() + step.x(), 0), top.width() - 1), min(max(at.y() + step.y(), 0), top.height() - 1))
                QTest.mouseMove(handle, at)
        if usable(handle):
            QTest.mouseRelease(handle, button, held, at)
        return "drag"

    def _wheel(self, top: QWidget) -> str:
        at, what = self._spot(top)
        self.trail.append(f"wheel on {what} of {type(top).__name__}")
        QTest.wheelEvent(top.windowHandle(), at, QPoint(0, 120 * self.chance.choice((-6, -1, 1, 6))))
        return "wheel"

    def _type(self, top: QWidget) -> str:
        text = self.chance.choice(WORDS)
        handle = top.windowHandle()
        if not top.isActiveWindow():
            top.activateWindow()
        self.trail.append(f"type {text[:20]!r} into {type(top.focusWidget()).__name__} of {type(top).__name__}")
        if self.chance.random() < 0.6 and usable(handle):
            struck(handle, Qt.Key.Key_A, Qt.KeyboardModifier.ControlModifier)
        focus = top.focusWidget() if shiboken6.isValid(top) else None
        if focus is not None:
            for sign in text:
                # The test helper's own typing knows Latin signs only.
                for kind in (QEvent.Type.KeyPress, QEvent.Type.KeyRelease):
                    if shiboken6.isValid(focus):
                        QApplication.sendEvent(focus, QKeyEvent(kind, 0, HELD[0], sign))
        if self.chance.random() < 0.7 and usable(handle):
            struck(handle, self.chance.choice((Qt.Key.Key_Return, Qt.Key.Key_Tab)))
        return "type"

    def _key(self, top: QWidget) -> str:
        key, held = self.chance.choice(KEYS), self.chance.choice(HELD)
        self.trail.append(f"key {held.name} {key.name} in {type(top).__name__}")
        if usable(top.windowHandle()):
            struck(top.windowHandle(), key, held)
        return "key"

    def _undo(self, top: QWidget) -> str:
        keys = self.chance.choice((Qt.Key.Key_Z, Qt.Key.Key_Z, Qt.Key.Key_Y))
        self.trail.append(f"undo or redo in {type(top).__name__}")
        for _ in range(self.chance.randrange(1, 9)):
            if usable(top.windowHandle()):
                struck(top.windowHandle(), keys, Qt.KeyboardModifier.ControlModifier)
        return "undo"

    def _menu(self, top: QWidget) -> str:
        """A menu entry as the mouse chooses it; by its keys where it has some."""
        window = self.window
        if window is None or top is not window:
            return self._key(top)
        entries = [a for m in window.menuBar().actions() for a in (m.menu().actions() if m.menu() else ())]
        entries = [a for a in entries if not a.isSeparator() and a.menu() is None and a.isEnabled()]
        entry: QAction = self.chance.choice(entries)
        if entry.text() == "&Leave" and self.chance.random() < 0.8:
            return self._key(top)
        self.trail.append(f"menu {entry.text()}")
        keys = entry.shortcut()
        if not keys.isEmpty() and self.chance.random() < 0.5:
            pressed = keys[0]
            struck(window.windowHandle(), pressed.key(), pressed.keyboardModifiers())
            return "menu"
        menu = next(m.menu() for m in window.menuBar().actions() if m.menu() and entry in m.menu().actions())
        menu.popup(window.menuBar().mapToGlobal(QPoint(5, 25)))
        if usable(menu.windowHandle()):
            clicked(menu.windowHandle(), BUTTONS[0], HELD[0], menu.actionGeometry(entry).center())
        return "menu"

    def _size(self, top: QWidget) -> str:
        self.trail.append(f"resize {type(top).__name__}")
        if not isinstance(top, QMenu):
            top.resize(self.chance.randrange(300, 1500), self.chance.randrange(200, 940))
        return "resize"

    def _close(self, top: QWidget) -> str:
        self.trail.append(f"close {type(top).__name__}")
        if top is self.window and self.chance.random() < 0.7:
            return "stay"
        top.close()
        return "close"

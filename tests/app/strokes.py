"""Strokes at a window that may be gone before they end."""

from __future__ import annotations

from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QGuiApplication, QWindow
from PySide6.QtTest import QTest

MODIFIERS = {
    Qt.KeyboardModifier.ShiftModifier: Qt.Key.Key_Shift,
    Qt.KeyboardModifier.ControlModifier: Qt.Key.Key_Control,
    Qt.KeyboardModifier.AltModifier: Qt.Key.Key_Alt,
}


def usable(handle: object) -> bool:
    """Whether a window is still there to be struck."""
    # A window that the toolkit made for itself, such as a tip, is not known here to be gone: only its list tells.
    return isinstance(handle, QWindow) and handle in QGuiApplication.allWindows() and handle.isVisible()


def struck(handle: QWindow, key: Qt.Key, held: Qt.KeyboardModifier = Qt.KeyboardModifier.NoModifier) -> None:
    """Press a key, with what is held first, and let go.

    Each press may close the window it falls on; the system then sends what follows to another one. ``QTest.keyClick`` sends
    all of it to the window it was given, and ends the program where that is no more.
    """
    pressed = [code for modifier, code in MODIFIERS.items() if held & modifier]
    for code in pressed:
        if usable(handle):
            QTest.keyPress(handle, code)
    if usable(handle):
        QTest.keyPress(handle, key, held)
    there = handle if usable(handle) else QGuiApplication.focusWindow()
    for code in (key, *reversed(pressed)):
        if usable(there):
            QTest.keyRelease(there, code)


def clicked(handle: QWindow, button: Qt.MouseButton, held: Qt.KeyboardModifier, at: QPoint, times: int = 1) -> None:
    """Press a button of the mouse and let go, as often as the window is still there."""
    for _ in range(times):
        if usable(handle):
            QTest.mousePress(handle, button, held, at)
        if usable(handle):
            QTest.mouseRelease(handle, button, held, at)

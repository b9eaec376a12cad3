"""From one part of the window to the next by one key, however many fields lie between."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QWidget

if TYPE_CHECKING:
    from app.window.main_window import MainWindow


def _parts(window: MainWindow) -> list[tuple[QWidget, QWidget]]:
    """Each part with the widget that takes the keys there, in reading order; hidden ones are left out."""
    figures = next((r for r in window.figures.rows.values() if r.isVisible()), window.figures)
    below = window.places.below()
    parts = [
        (window.inputs, window.inputs.search), (window.slider, window.slider), (window.view, window.view),
        (window.findings, window.findings.list), (window.figures, figures), (window.working, window.working.text),
        *((panel, _first(panel)) for panel in below),
    ]  # fmt: skip
    return [(part, target) for part, target in parts if part.isVisible()]


def _first(panel: QWidget) -> QWidget:
    """The first widget of a panel that takes the keys."""
    takes = (w for w in panel.findChildren(QWidget) if w.focusPolicy() & Qt.FocusPolicy.TabFocus and w.isVisible())
    return next((w for w in takes if w.isEnabled()), panel)


def walk(window: MainWindow, step: int) -> None:
    """Give the keys to the next part of the window (1) or the one before (-1)."""
    parts = _parts(window)
    here = QApplication.focusWidget()
    at = next((k for k, (part, _) in enumerate(parts) if here is not None and (part is here or part.isAncestorOf(here))), None)
    k = (at + step if at is not None else (0 if step > 0 else -1)) % len(parts)
    parts[k][1].setFocus(Qt.FocusReason.TabFocusReason)

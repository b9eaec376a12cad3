"""What is this? Tells of the setting or the figure that has the keys, beside it."""

from __future__ import annotations

from html import escape
from typing import TYPE_CHECKING

from PySide6.QtCore import QPoint
from PySide6.QtWidgets import QApplication, QWhatsThis, QWidget

from app.helping import Help, figure_help, key_help
from app.inputs.row import Row
from app.panels.figures import FigureRow
from app.words import tr

if TYPE_CHECKING:
    from app.window.main_window import MainWindow


def help_html(title: str, told: Help) -> str:
    """Return help as a page of a few lines."""
    parts = [f"<p><b>{escape(tr(title))}</b></p><p>{escape(told.means)}</p>"]
    if told.good:
        parts.append(f"<p>{tr('Good')}: {escape(told.good)}</p>")
    if told.source:
        parts.append(f"<p>{tr('Source')}: {escape(told.source)}</p>")
    return "".join(parts)


def what_is(widget: QWidget | None) -> str:
    """Return the help of the row a widget belongs to, "" where there is none."""
    while widget is not None:
        if isinstance(widget, Row):
            told = key_help(widget.key.path)
            return help_html(widget.key.label, told) if told else ""
        if isinstance(widget, FigureRow):
            told = figure_help(widget.figure.id)
            return help_html(widget.figure.label, told) if told else ""
        widget = widget.parentWidget()
    return ""


def show_what(window: MainWindow) -> None:
    """Show it beside the widget that has the keys; a sentence in the strip below where there is nothing to tell."""
    here = QApplication.focusWidget()
    told = what_is(here)
    if told and here is not None:
        QWhatsThis.showText(here.mapToGlobal(QPoint(0, here.height())), told, here)
    else:
        window.statusBar().showMessage(tr("Go to a setting or a figure first; then this tells what it means."), 5000)

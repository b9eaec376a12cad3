"""The working of one figure: formula, what went in and where from, the arithmetic, limit and source."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape
from typing import TYPE_CHECKING

from PySide6.QtCore import QTimer, Signal
from PySide6.QtWidgets import QLabel, QTextBrowser, QVBoxLayout, QWidget

from app.helping import figure_help
from app.numbers import limit_words, quantity, shown
from app.panels.words import SHAPES, difference
from app.theme import palette
from app.words import tr
from framecore.figures.model import Figure, Input, Verdict
from framecore.figures.words import input_origin, input_value
from framecore.units import typeset

if TYPE_CHECKING:
    from framecore.stand.model import Stand

MOVING_MS = 120  # a page is laid out anew so often at most while a hand moves


def _origin(item: Input) -> str:
    """Where an input came from; one of the brief leads to its field."""
    words = escape(tr(input_origin(item)))
    if not item.key:
        return words
    return words.replace(escape(item.key), f"<a href='{escape(item.key)}'>{escape(item.key)}</a>", 1)


def working_html(figure: Figure, units: str, before: Figure | None = None) -> str:
    """Return the working as a page; ``before`` the same figure of the reference."""
    soft = palette().soft
    work = figure.working
    parts = [f"<h3>{escape(tr(figure.label))}</h3>"]
    parts.append(f"<p><b>{escape(quantity(figure.value, figure.unit, units))}</b>{_verdict(figure)}</p>")
    if before is not None:
        change = difference(figure.value, before.value, figure.unit, units)
        was = quantity(before.value, before.unit, units)
        told = escape(change or tr("the same"))
        verdict = _verdict(before) if before.verdict is not figure.verdict else ""
        parts.append(f"<p>{escape(tr('Reference: {value}', value=was))}{verdict}, {told}</p>")
    limit = limit_words(figure, units)
    if limit:
        parts.append(f"<p>{escape(tr(f'Good is {limit}.'))}</p>")
    told = figure_help(figure.id)
    if told is not None:
        parts.append(f"<p>{escape(told.means)}</p><p>{tr('Good')}: {escape(told.good)}</p>")
    if work.formula:
        parts.append(f"<p style='color:{soft}'>{tr('Formula')}</p><p><code>{escape(tr(work.formula))}</code></p>")
    if work.inputs:
        rows = _inputs(work.inputs, before.working.inputs if before is not None else None, soft)
        parts.append(
            f"<p style='color:{soft}'>{tr('What goes in')}</p><table cellspacing='0' cellpadding='2'>{rows}</table>"
        )
    if work.steps:
        lines = "".join(f"<p style='margin:2px 0'><code>{escape(tr(s))}</code></p>" for s in work.steps)
        parts.append(f"<p style='color:{soft}'>{tr('Arithmetic')}</p>{lines}")
    for note in dict.fromkeys((work.note, figure.note)):
        if note:
            parts.append(f"<p>{escape(tr(note))}</p>")
    if figure.assumed:
        keys = ", ".join(figure.assumed)
        parts.append(f"<p>{escape(tr(f'Rests on typical values nobody gave: {keys}.'))}</p>")
    if work.source:
        parts.append(f"<p style='color:{soft}'>{escape(tr(f'Source: {work.source}'))}</p>")
    parts.append(f"<p style='color:{soft}'>{escape(figure.id)}</p>")
    return typeset("".join(parts))


def _verdict(figure: Figure) -> str:
    """Return the verdict's shape and word, "" without one."""
    if figure.verdict is Verdict.NONE:
        return ""
    colour = getattr(palette(), figure.verdict.value)
    return f" &nbsp; <span style='color:{colour}'>{SHAPES[figure.verdict]} {escape(tr(figure.verdict.value))}</span>"


def _inputs(inputs: Sequence[Input], before: Sequence[Input] | None, soft: str) -> str:
    """Return the rows of what goes in; where it was another value in the reference, that too."""
    had = {(i.symbol, i.label): shown(input_value(i)) for i in before or ()}
    values = [shown(input_value(i)) for i in inputs]
    was = [had.get((i.symbol, i.label), "") for i in inputs]
    moved = [w if w != v else "" for w, v in zip(was, values, strict=True)]
    rows = []
    if any(moved):
        heads = "".join(f"<td align='right'>{escape(tr(t))}&nbsp;&nbsp;</td>" for t in ("now", "before"))
        rows.append(f"<tr style='color:{soft}'><td></td><td></td>{heads}<td></td></tr>")
    for i, value, old in zip(inputs, values, moved, strict=True):
        third = f"<td align='right' style='color:{soft}'>{escape(old)}&nbsp;&nbsp;</td>" if any(moved) else ""
        rows.append(
            f"<tr><td><b>{escape(i.symbol)}</b>&nbsp;&nbsp;</td><td>{escape(tr(i.label))}&nbsp;&nbsp;</td>"
            f"<td align='right'>{escape(value)}&nbsp;&nbsp;</td>{third}<td style='color:{soft}'>{_origin(i)}</td></tr>"
        )
    return "".join(rows)


class WorkingPanel(QWidget):
    """Shows the working of the figure chosen last and follows it while the stand changes.

    Signals
    -------
    asked(path) : the maker wants to see the brief's key that an input came from
    """

    asked = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.text = QTextBrowser()
        self.text.setAccessibleName(tr("Working"))
        self.text.setPlainText(tr("Click a figure to see how it came about."))  # a placeholder would not be broken into lines
        self.text.setOpenLinks(False)
        self.text.anchorClicked.connect(lambda url: self.asked.emit(url.toString()))
        self.chosen = ""
        self._shown: tuple[Figure, str] | None = None
        self._reference: Stand | None = None
        self._next: tuple[Figure, str] | None = None
        self._timer = QTimer(self, singleShot=True, interval=MOVING_MS)
        self._timer.timeout.connect(self._catch_up)
        title = QLabel(tr("Working"))
        title.setObjectName("heading")
        title.setContentsMargins(14, 8, 0, 2)
        page = QVBoxLayout(self)
        page.setContentsMargins(0, 0, 0, 0)
        page.setSpacing(0)
        page.addWidget(title)
        page.addWidget(self.text)

    def set_reference(self, stand: Stand | None) -> None:
        """Compare with ``stand`` from now on."""
        self._reference = stand
        self._show_again()

    def recolour(self) -> None:
        """Take the colours of the present palette."""
        self._show_again()

    def _show_again(self) -> None:
        if self._shown is not None:
            self.show_figure(*self._shown)

    def follow(self, figure: Figure, units: str) -> None:
        """Show how ``figure`` came about while a hand moves: soon, and not in every picture."""
        self._next = (figure, units)
        if not self._timer.isActive():
            self._timer.start()

    def _catch_up(self) -> None:
        if self._next is not None and self._next[0].id == self.chosen and self.isVisible():
            self.show_figure(*self._next)

    def show_figure(self, figure: Figure, units: str) -> None:
        """Show how ``figure`` came about."""
        self._timer.stop()
        self._next = None
        bar = self.text.verticalScrollBar().value() if figure.id == self.chosen else 0
        self.chosen = figure.id
        self._shown = (figure, units)
        before = self._reference.figures.at_hand.get(figure.id) if self._reference is not None else None
        self.text.setHtml(working_html(figure, units, before))
        self.text.verticalScrollBar().setValue(bar)

"""Says in words what the painted parts of the window show, for those who do not see them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject

from app.numbers import length, quantity
from app.words import tr

if TYPE_CHECKING:
    from app.window.main_window import MainWindow
    from framecore.stand.model import Stand


def stand_words(stand: Stand) -> str:
    """Return what the view shows of a stand."""
    brief, units = stand.brief, stand.brief.units
    size = tr(
        "{layout} stand, {long} long, {deep} deep, seat {seat} above the floor, {count} pieces.",
        layout=tr(brief.frame.layout).capitalize(), long=length(stand.frame.length, units),
        deep=length(stand.frame.depth, units), seat=length(stand.frame.seat, units),
        count=sum(len(p.members) for p in stand.shop.pieces),
    )  # fmt: skip
    if not brief.machine.mass:
        return size
    on_it = tr("On it: {kind}, {mass}.", kind=tr(brief.machine.kind), mass=quantity(brief.machine.mass, "kg", units))
    return f"{size} {on_it}"


def lit_words(stand: Stand, parts: frozenset[str]) -> str:
    """Return which parts are lit, with their marks; "" for none."""
    if not parts:
        return ""
    shop = stand.shop
    marks = (shop.piece_of.get(p) or shop.bought_of.get(p) for p in sorted(parts))
    named = [f"{p} ({m})" if m else p for p, m in zip(sorted(parts), marks, strict=True)]
    return tr("Lit: {parts}.", parts=", ".join(named))


def plan_words(stand: Stand) -> str:
    """Return the cut plan bar by bar."""
    units = stand.brief.units
    lines = []
    for name, plan in stand.shop.plans:
        for k, used in enumerate(plan.bars, 1):
            lines.append(
                tr("{profile}, bar {number} of {long}: {marks}; left {rest}.",
                   profile=name, number=k, long=length(used.bar.length, units), marks=", ".join(c.mark for c in used.cuts),
                   rest=length(used.offcut, units))
            )  # fmt: skip
    for thickness, nest in stand.shop.nests:
        for n, sheet in enumerate(nest.sheets):
            marks = ", ".join(p.mark for p in nest.placements if p.sheet == n)
            lines.append(
                tr("Sheet {thick}, {long} by {wide}: {marks}.", thick=length(thickness, units),
                   long=length(sheet.length, units), wide=length(sheet.width, units), marks=marks)
            )  # fmt: skip
    return " ".join(lines)


class Describing(QObject):
    """Keeps the descriptions of one window true while nothing moves."""

    def __init__(self, window: MainWindow) -> None:
        super().__init__(window)
        self._window = window
        window.live.ready.connect(self._stand)
        window.choice.changed.connect(lambda _parts, _marks: self._view())

    def _stand(self, stand: Stand, moving: bool) -> None:
        if moving:
            return
        window, units = self._window, stand.brief.units
        self._view()
        window.plan.setAccessibleDescription(" ".join(w for w in (window.plan.total, plan_words(stand)) if w))
        low, high = window.slider.band
        words = tr("Seat {seat} above the floor.", seat=length(stand.frame.seat, units))
        if high > low:
            words += " " + tr("The elbow asks for {low} to {high}.", low=length(low, units), high=length(high, units))
        kept = window.slider.reference
        if kept is not None:
            words += " " + tr("The reference has {height}.", height=length(kept, units))
        window.slider.setAccessibleDescription(words)
        window.cut_list.setAccessibleDescription(
            tr("{count} rows: mark, how many, what, length, ends or size.", count=window.cut_list.rowCount())
        )

    def _view(self) -> None:
        stand = self._window.live.stand
        if stand is not None:
            words = (stand_words(stand), lit_words(stand, self._window.choice.parts))
            self._window.view.setAccessibleDescription(" ".join(w for w in words if w))

"""Puts the grips of the view to work on the brief: one movement is one step of the history, shown live."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QPoint, Signal

from app.view3d.grip_bar import BESIDE, GripBar, TypeIn
from app.view3d.grips import Ask
from app.view3d.handles import Change, Floats, Handle, Handles, Here
from app.view3d.hole_handles import HoleHandles
from app.view3d.size_handles import SizeHandles
from framecore.frame.model import Role

if TYPE_CHECKING:
    from app.document import Document
    from app.live import Live
    from app.view3d.view import StandView


class HandsOnView(QObject):
    """Holes or sizes changed on the view.

    Signals
    -------
    turned(name) : the family shown, "" for none
    pattern_asked() : the pattern's dialog is wanted
    """

    turned = Signal(str)
    pattern_asked = Signal()

    def __init__(self, view: StandView, document: Document, live: Live) -> None:
        super().__init__(view)
        self.view, self.document, self.live = view, document, live
        self.grips = view.grips
        self.families: dict[str, Handles] = {"holes": HoleHandles(), "sizes": SizeHandles()}
        self.family = self.families["holes"]
        self.shown = ""
        self.bar = GripBar(view)
        self.field = TypeIn(view)
        self._before: dict[str, object] = {}
        self._gesture = 0
        self.grips.changed.connect(self._move)
        self.grips.released.connect(live.settle)
        self.grips.released.connect(self._state)
        self.grips.cancelled.connect(self._restore)
        self.grips.asked.connect(self._asked)
        self.grips.chose.connect(self._state)
        self.bar.even.connect(self._even)
        self.bar.add.connect(lambda: self._asked(Ask.ADD, None, None))
        self.bar.remove.connect(self._remove_chosen)
        self.bar.more.connect(self.pattern_asked)
        self.bar.done.connect(lambda: self.show(""))
        self.field.closed.connect(view.setFocus)
        document.changed.connect(lambda _source: self._follow())
        live.ready.connect(lambda _stand, _moving: self._follow())

    def show(self, name: str) -> None:
        """Show the grips of a family, or put them away with ""."""
        if name == self.shown:
            return
        self.shown = name
        self.grips.setGeometry(self.view.rect())
        self.field.hide()
        if name:
            self.family = self.families[name]
            self.bar.show_family(self.family.title, self.family.adds)
            self._place_bar()
            self.bar.raise_()
        else:
            self.bar.hide()
        self.grips.show_family(self.family if name else None)
        self.bar.raise_()
        self._follow()
        if name:
            self.view.setFocus()
        self.turned.emit(name)

    # -- following the brief -------------------------------------------------------------------------------

    def _follow(self) -> None:
        brief, stand = self.document.reading.brief if self.grips.on else None, self.live.stand
        if brief is None or stand is None:
            return  # a brief that cannot be read: the grips stay where they were
        # A vice corner's own bearers go with their corner.
        bearers = (m for m in stand.frame.members if m.role is Role.BEARER and m.name.startswith("bearer "))
        self.grips.set_here(
            Here(
                source=self.document.source, brief=brief, seat=stand.frame.seat,
                bearers=tuple(sorted((m.start.point[0] + m.end.point[0]) / 2 for m in bearers)), stand=stand,
            )
        )  # fmt: skip
        self._state()

    def _place_bar(self) -> None:
        """In the corner, below what the ghosts are called."""
        self.bar.move(BESIDE, BESIDE if self.view.ghosts.isHidden() else BESIDE + 2 * self.bar.fontMetrics().height() + 24)

    def _state(self) -> None:
        here = self.grips.here
        self._place_bar()
        if here is not None and not self.grips.dragging:
            self.bar.show_state(self.family.can_be_even(here), bool(self.grips.chosen))

    # -- hands ---------------------------------------------------------------------------------------------

    def _even(self, on: bool) -> None:
        self.families["holes"].even = on

    def _move(self, change: Change, gesture: int) -> None:
        if gesture != self._gesture:
            self._gesture = gesture
            self._before = {key: self.document.source.value(key) for key in change.values}
        self.live.moving = True
        self.document.edit_all(change.values, change.text, gesture)

    def _restore(self, gesture: int) -> None:
        if gesture == self._gesture:
            self.document.edit_all(self._before, "as before", gesture)

    def _do(self, change: Change | None) -> None:
        if change is not None:
            self.document.edit_all(change.values, change.text)
            self.live.settle()

    def _asked(self, ask: Ask, handle: Handle | None, at: Floats | None) -> None:
        here = self.grips.here
        if here is None:
            return
        if ask is Ask.ADD:
            self._do(self.family.added(here, at))
            if self.grips.shown:
                self.grips.choose(self.grips.shown[-1].id)
            self.view.setFocus()
        elif handle is not None and ask is Ask.REMOVE:
            self._do(self.family.removed(here, handle))
        elif handle is not None:
            x, y = self.grips.spot(handle)
            self.field.ask(
                handle.name, self.family.fields(here, handle), QPoint(round(x), round(y)),
                lambda texts: self._do(self.family.typed(here, handle, texts)),
            )  # fmt: skip

    def _remove_chosen(self) -> None:
        chosen = self.grips.handle(self.grips.chosen)
        if chosen is not None:
            self._asked(Ask.REMOVE, chosen, None)
        self.view.setFocus()

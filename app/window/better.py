"""Trying and comparing: the panels that look for better stands, the ghost of what is tried, the reference that is kept."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QObject, QSignalBlocker, Signal
from PySide6.QtWidgets import QWidget

from app.view3d.ghosts import GHOST, REFERENCE
from app.words import tr
from framecore.errors import FramecoreError

if TYPE_CHECKING:
    from app.dialogs.compare import CompareDialog
    from app.window.main_window import MainWindow
    from framecore.brief.model import Brief
    from framecore.stand.model import Stand

HELPS, SEARCH, MOTION = "helps", "search", "motion"


class Better(QObject):
    """Belongs to one window. Each panel is made when it is first asked for; one at a time is open below the view.

    Signals
    -------
    opened(name) : another panel is open below, "" for the cut plan
    """

    opened = Signal(str)

    def __init__(self, window: MainWindow) -> None:
        super().__init__(window)
        self._window = window
        self._evaluator: Any = None
        self.panels: dict[str, QWidget] = {}
        self.open_below = ""
        self.reference: Stand | None = None
        self._compare: CompareDialog | None = None
        window.live.told.connect(lambda _findings, stale: self._set_stale(stale))

    # -- the panels below ------------------------------------------------------------------------------

    def show_below(self, name: str, on: bool) -> None:
        """Open a panel in the place of cut plan and cut list, or close it."""
        if on == (self.open_below == name):
            return
        window = self._window
        if self.open_below:
            window.places.show_below(self.panels[self.open_below], False)
        self.open_below = name if on else ""
        if on:
            if name not in self.panels:
                self.panels[name] = _MAKERS[name](self)
                self._set_stale(window.live.stale)
            window.places.show_below(self.panels[name], True)
            if window.live.stand is not None:
                self.panels[name].show_stand(window.live.stand)
            if name != MOTION:
                self.panels[name].setFocus()
        self.opened.emit(self.open_below)

    def show_stand(self, stand: Stand, moving: bool) -> None:
        """Follow the stand. What is tried was over another one."""
        self.show_ghost(None)
        if self._compare is not None and self._compare.isVisible() and not moving:
            self._compare.show_stand(stand)
        panel = self.panels.get(self.open_below)
        if panel is None:
            return
        if self.open_below == MOTION:
            panel.show_stand(stand)
        else:
            panel.show_stand(stand, moving=moving)

    def _set_stale(self, stale: bool) -> None:
        """While the brief gives no stand nothing can be tried: what would be taken goes into another brief."""
        if stale:
            self.show_ghost(None)
        for name in (HELPS, SEARCH):
            if name in self.panels:
                self.panels[name].setEnabled(not stale)

    def recolour(self) -> None:
        """Take the colours of the present palette."""
        window = self._window
        for panel in (*self.panels.values(), window.cut_list, window.findings, window.working, window.figures):
            if hasattr(panel, "recolour"):
                panel.recolour()

    def close(self) -> None:
        """End what works beside the window."""
        for panel in self.panels.values():
            if hasattr(panel, "close_down"):
                panel.close_down()

    def _make_motion(self) -> QWidget:
        from app.panels.modes import ModesPanel

        panel = ModesPanel(self._window.view)
        panel.set_reference(self.reference)
        return panel

    def _make_helps(self) -> QWidget:
        from app.panels.helps import HelpsPanel

        return self._joined(HelpsPanel())

    def _make_search(self) -> QWidget:
        from app.panels.search.panel import SearchPanel

        return self._joined(SearchPanel())

    def _joined(self, panel: Any) -> QWidget:
        panel.ghost.connect(self.show_ghost)
        panel.take.connect(self.take)
        panel.fault.connect(_raised)
        return panel

    # -- the ghost -------------------------------------------------------------------------------------

    def show_ghost(self, brief: Brief | None, words: str = "") -> None:
        """Show the stand of a brief over the present one, or nothing."""
        ghosts = self._window.view.ghosts
        if brief is None:
            if ghosts.shown(GHOST) is not None:
                ghosts.show_layer(GHOST, None)
            return
        stand = self._evaluated(brief)
        ghosts.show_layer(GHOST, stand, tr("Tried: {what}", what=words))

    def take(self, values: dict[str, Any], words: str) -> None:
        """Make the changes of what is tried, as one step of the history."""
        self.show_ghost(None)
        self._window.document.edit_all(values, words)

    def _evaluated(self, brief: Brief) -> Stand | None:
        from framecore.stand import Evaluator

        if self._evaluator is None:
            self._evaluator = Evaluator()
        try:
            found: Stand = self._evaluator.evaluate(brief)
        except FramecoreError:
            return None
        return found

    # -- the reference ---------------------------------------------------------------------------------

    def keep_reference(self, stand: Stand | None, words: str = "") -> None:
        """Keep a stand to compare with, or forget it; every panel that shows figures shows the differences."""
        window = self._window
        self.reference = stand
        action = window.reference_action
        with QSignalBlocker(action):
            action.setChecked(stand is not None)
        painted = (window.plan, window.cut_list, window.slider, window.findings)
        for panel in (window.figures, window.working, *painted, self.panels.get(MOTION)):
            if panel is not None:
                panel.set_reference(stand)
        window.view.ghosts.show_layer(REFERENCE, stand, words or tr("Reference"))

    def compare(self) -> None:
        """Open the side-by-side sheet and the variants."""
        from app.dialogs.compare import CompareDialog

        window = self._window
        if window.live.stand is None:
            window.questions.tell(window, tr("Compare"), tr("There is no stand to compare yet; see the findings."))
            return
        if self._compare is None:
            self._compare = CompareDialog(self, window.document, window)
        self._compare.show()
        self._compare.show_stand(window.live.stand)
        self._compare.raise_()


def _raised(fault: Exception) -> None:
    raise fault  # shown where all faults are shown


_MAKERS: dict[str, Callable[[Better], QWidget]] = {
    MOTION: Better._make_motion, HELPS: Better._make_helps, SEARCH: Better._make_search,
}  # fmt: skip

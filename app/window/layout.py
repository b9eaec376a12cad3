"""Where the panels of the window are: laid out once, opened and closed, remembered, and put back as at first."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QByteArray, QObject, QSize, Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QScrollArea, QSplitter, QVBoxLayout, QWidget

from app.dialogs.sizes import FRAME
from app.inputs.row import LEAST, label_width
from app.words import tr

if TYPE_CHECKING:
    from app.window.main_window import MainWindow

SIZE = (1500, 940)
BELOW = 330  # px of height for a panel in the place of the cut plan, which is content with less
# What a panel is called in the store, and its share of its splitter at first, in pixels.
_FIRST = {
    "whole": (384, 1196),
    "top": (860, 350),
    "upright": (650, 250),
    "right": (460, 190),
    "low": (800, 420),
}


class Layout(QObject):
    """The splitters of one window, and which panels are open.

    ``panels``: name -> widget that is shown or hidden as one.

    Signals
    -------
    opened(name, on) : a panel was shown or hidden
    """

    opened = Signal(str, bool)

    def __init__(self, window: MainWindow) -> None:
        super().__init__(window)
        self._window = window
        self._splitters: dict[str, QSplitter] = {}
        self._before: QByteArray | None = None  # of "upright", while a panel below has some of the view's height
        self._build()
        self.panels: dict[str, QWidget] = {
            "settings": window.inputs, "figures": self._splitters["right"], "cut plan": self._splitters["low"],
        }  # fmt: skip
        self._at_first = {name: group.head.isChecked() for name, group in window.inputs.groups.items()}

    def _splitter(self, name: str, way: Qt.Orientation, *widgets: QWidget) -> QSplitter:
        splitter = self._splitters[name] = QSplitter(way)
        for widget in widgets:
            splitter.addWidget(widget)
        splitter.setHandleWidth(1)
        splitter.setChildrenCollapsible(False)
        return splitter

    def _build(self) -> None:
        window = self._window
        across, down = Qt.Orientation.Horizontal, Qt.Orientation.Vertical
        right = self._splitter("right", down, window.figures, window.working)
        right.setStretchFactor(0, 3)
        right.setStretchFactor(1, 1)
        top = self._splitter("top", across, self._middle(), right)
        top.setStretchFactor(0, 1)
        scroll = QScrollArea()
        scroll.setWidgetResizable(True)
        scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)  # the plan inside takes the keys
        scroll.setWidget(window.plan)
        low = self._splitter(
            "low", across, titled(tr("Cut plan"), scroll), titled(tr("Cut list and bought parts"), window.cut_list)
        )
        low.setStretchFactor(0, 1)
        upright = self._splitter("upright", down, top, low)
        upright.setStretchFactor(0, 1)
        whole = self._splitter("whole", across, window.inputs, upright)
        whole.setStretchFactor(1, 1)
        window.inputs.setMinimumWidth(368 + label_width(window.font()) - LEAST)
        window.figures.setMinimumWidth(290)
        window.view.setMinimumSize(320, 240)
        window.setCentralWidget(whole)

    def _middle(self) -> QWidget:
        window = self._window
        middle = QWidget()
        row = QHBoxLayout()
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(0)
        row.addWidget(window.slider)
        row.addWidget(window.view, 1)
        column = QVBoxLayout(middle)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(window.keeping.banner)
        column.addWidget(window.banner)
        column.addLayout(row, 1)
        column.addWidget(window.findings)
        return middle

    def open_panel(self, name: str, on: bool) -> None:
        """Show or hide a panel."""
        panel = self.panels[name]
        if panel.isHidden() == on:
            panel.setVisible(on)
            self.opened.emit(name, on)

    def fit_into(self, width: int) -> None:
        """Close what a narrow screen has no room for; its keys open it in place of another."""
        window = self._window
        need = window.slider.minimumSizeHint().width() + window.view.minimumWidth() + 8
        need += 0 if window.inputs.isHidden() else window.inputs.minimumWidth()
        need += 0 if self.panels["figures"].isHidden() else window.figures.minimumWidth()
        for name, wide in (("figures", window.figures.minimumWidth()), ("settings", window.inputs.minimumWidth())):
            if need > width and not self.panels[name].isHidden():
                self.open_panel(name, False)
                need -= wide

    # -- the place of cut plan and cut list --------------------------------------------------------------

    def show_below(self, widget: QWidget, on: bool) -> None:
        """Show ``widget`` in the place of cut plan and cut list, or give them back their place."""
        low = self._splitters["low"]
        if low.indexOf(widget) < 0:
            low.addWidget(widget)
        if on:
            self.open_panel("cut plan", True)
        for k in range(2):
            low.widget(k).setVisible(not on)
        widget.setVisible(on)
        self._make_room_below(on)

    def _make_room_below(self, on: bool) -> None:
        """Give what is chosen from more height than a cut plan needs, and take it back afterwards."""
        upright = self._splitters["upright"]
        top, below = upright.sizes()
        if on and 0 < below < BELOW:
            self._before = upright.saveState()
            self._window.view.keep_whole()
            upright.setSizes([top + below - BELOW, BELOW])
        elif not on and self._before is not None:
            self._window.view.keep_whole()
            self._restore_splitter(upright, self._before)
            self._before = None

    def below(self) -> list[QWidget]:
        """The panels that are open at the bottom."""
        low = self._splitters["low"]
        return [low.widget(k) for k in range(low.count()) if low.widget(k).isVisible()]

    # -- remembered --------------------------------------------------------------------------------------

    def save(self) -> None:
        """Remember window, panels and open groups."""
        settings = self._window.settings
        settings.save_window("geometry", self._window.saveGeometry())
        for name, splitter in self._splitters.items():
            lent = self._before if name == "upright" else None
            settings.save_window(f"split {name}", lent or splitter.saveState())
        settings.save_names("panels closed", [n for n, p in self.panels.items() if p.isHidden()])
        settings.save_names("groups open", [n or "." for n, g in self._window.inputs.groups.items() if g.head.isChecked()])

    def restore(self) -> None:
        """Put everything where it was left; what is not remembered stands as at first."""
        settings = self._window.settings
        self.as_at_first()
        geometry = settings.window("geometry")
        if geometry is not None:
            self._window.restoreGeometry(geometry)
        for name, splitter in self._splitters.items():
            state = settings.window(f"split {name}")
            if state is not None:
                self._restore_splitter(splitter, state)
        closed, opened = settings.names("panels closed"), settings.names("groups open")
        if closed is not None:
            for name in self.panels:
                self.open_panel(name, name not in closed)
            self.fit_into(self._room().width())  # the screen may be a smaller one today
        if opened is not None:
            for name, group in self._window.inputs.groups.items():
                group.head.setChecked((name or ".") in opened)

    @staticmethod
    def _restore_splitter(splitter: QSplitter, state: QByteArray) -> None:
        before = splitter.saveState()
        # A state with a panel of no size, from a screen that was too small, would hide it for good.
        if not splitter.restoreState(state) or sum(splitter.sizes()) == 0:
            splitter.restoreState(before)
        splitter.setHandleWidth(1)
        splitter.setChildrenCollapsible(False)

    def _room(self) -> QSize:
        """What the screen has for the window inside its frame."""
        return self._window.screen().availableGeometry().size() - FRAME

    def as_at_first(self) -> None:
        """Put panels, groups and the window's size back as they are on the first day."""
        window = self._window
        if window.isMaximized() or window.isFullScreen():
            window.showNormal()
        room = self._room()
        window.resize(min(SIZE[0], room.width()), min(SIZE[1], room.height()))
        for name in self.panels:
            self.open_panel(name, True)
        self.fit_into(room.width())
        self._before = None
        for name, sizes in _FIRST.items():
            self._splitters[name].setSizes(list(sizes))
        for name, group in window.inputs.groups.items():
            group.head.setChecked(self._at_first[name])


def titled(title: str, widget: QWidget) -> QWidget:
    """Return ``widget`` under a heading."""
    box = QWidget()
    head = QLabel(title)
    head.setObjectName("heading")
    head.setContentsMargins(14, 8, 0, 4)
    head.setBuddy(widget)
    column = QVBoxLayout(box)
    column.setContentsMargins(0, 0, 0, 0)
    column.setSpacing(0)
    column.addWidget(head)
    column.addWidget(widget, 1)
    return box

"""Motion: the modes, played in the view; the running speeds; what would move a mode. Loaded when first asked for."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

import numpy as np
from PySide6.QtCore import Qt, QThreadPool, QTimer
from PySide6.QtWidgets import (
    QComboBox,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QScrollArea,
    QSlider,
    QVBoxLayout,
    QWidget,
)

from app.live.post import posted
from app.panels.speeds import SpeedsPlot, paired
from app.panels.words import difference
from app.view3d.swing import make_swing
from app.words import tr

if TYPE_CHECKING:
    from app.view3d import StandView
    from framecore.stand.model import Stand
    from framecore.strength import Sensitivity

REST_MS = 600  # the stand must have been left alone for so long before the changes are worked out
MOST = 8  # sentences
REACH = (10, 120)  # mm that the farthest point is drawn out, least and most


def _look_for(stand: Stand, told: Callable[[Stand, tuple[Sensitivity, ...]], None]) -> None:
    """Work out what would move the modes of one stand, beside the window; a frame without an answer has nothing to say."""
    from framecore.errors import FramecoreError
    from framecore.strength import sensitivities

    found: tuple[Sensitivity, ...] = ()
    try:
        found = sensitivities(stand.brief, stand.frame, stand.strength)
    except FramecoreError:
        pass
    finally:
        told(stand, found)


class ModesPanel(QWidget):
    """Choose a mode, see it move, see what turns near it, and what would move it away."""

    def __init__(self, view: StandView) -> None:
        super().__init__()
        self.setObjectName("plain")
        self.setAccessibleName(tr("Motion"))
        self.view = view
        self._stand: Stand | None = None
        self._reference: Stand | None = None
        self._found: tuple[Sensitivity, ...] | None = None
        self._works = False
        head = QLabel(tr("Motion"))
        head.setObjectName("heading")
        self.legend = QLabel()
        self.legend.setObjectName("unit")
        self.legend.setContentsMargins(8, 8, 0, 4)
        self.legend.setMinimumWidth(60)  # a long language must not widen the window: what is cut off is in the tip
        self.plot = SpeedsPlot()
        self.modes = QComboBox()
        self.modes.setAccessibleName(tr("Mode"))
        self.modes.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.modes.setMinimumContentsLength(10)
        self.show_button = QPushButton(tr("Show"))
        self.show_button.setCheckable(True)
        self.show_button.setToolTip(tr("Show the mode in the view, held at its farthest"))
        self.play_button = QPushButton(tr("Play"))
        self.play_button.setCheckable(True)
        self.play_button.setToolTip(tr("Let it swing in the view, slowly; stopped it is held at its farthest"))
        self.reach = QSlider(Qt.Orientation.Horizontal)
        self.reach.setRange(*REACH)
        self.reach.setValue(40)
        self.reach.setAccessibleName(tr("Drawn movement"))
        self.reach.setToolTip(tr("How far the movement is drawn, mm; the true one is far too small to see"))
        self.moves = QLabel()
        self.moves.setObjectName("moves")
        self.moves.setWordWrap(True)
        self.moves.setTextFormat(Qt.TextFormat.RichText)
        self.moves.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self.moves.setAlignment(Qt.AlignmentFlag.AlignTop)
        self.moves.setContentsMargins(14, 0, 10, 8)
        self._lay_out(head)
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(REST_MS)
        self._timer.timeout.connect(self._work_out)
        self.plot.chosen.connect(self.modes.setCurrentIndex)
        self.modes.currentIndexChanged.connect(self._choose)
        self.show_button.toggled.connect(self._show)
        self.play_button.toggled.connect(self._play)
        self.reach.valueChanged.connect(self._stretch)

    def _lay_out(self, head: QLabel) -> None:
        row = QHBoxLayout()
        row.setContentsMargins(14, 0, 14, 0)
        row.addWidget(self.modes, 1)
        row.addWidget(self.show_button)
        row.addWidget(self.play_button)
        far = QHBoxLayout()
        far.setContentsMargins(14, 0, 14, 0)
        label = QLabel(tr("Movement"))
        label.setObjectName("unit")
        far.addWidget(label)
        far.addWidget(self.reach, 1)
        scroll = QScrollArea()
        scroll.setWidgetResizable(True)
        scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        scroll.setWidget(self.moves)
        scroll.setAccessibleName(tr("What would move the modes"))
        head.setContentsMargins(14, 8, 0, 4)
        left = QVBoxLayout()
        left.setSpacing(0)
        top = QHBoxLayout()
        top.addWidget(head)
        top.addWidget(self.legend, 1)
        left.addLayout(top)
        left.addWidget(self.plot, 1)
        right = QVBoxLayout()
        right.setContentsMargins(0, 8, 0, 0)
        right.setSpacing(6)
        right.addLayout(row)
        right.addLayout(far)
        right.addWidget(scroll, 1)
        both = QHBoxLayout(self)
        both.setContentsMargins(0, 0, 0, 0)
        both.setSpacing(0)
        both.addLayout(left, 3)
        both.addLayout(right, 2)

    # -- what is shown ---------------------------------------------------------------------------------

    @property
    def mode(self) -> int:
        """The chosen mode, from 0."""
        return max(0, self.modes.currentIndex())

    def show_stand(self, stand: Stand) -> None:
        """Show the modes of ``stand``."""
        self._stand, self._found = stand, None
        s = stand.strength
        known = paired(stand, self._reference)
        said = [
            f"{k + 1}  {name}  {hz:.1f} Hz" + self._change(before, hz)
            for k, (name, hz, before) in enumerate(zip(s.motion.names, s.modes_hz.tolist(), known, strict=True))
        ]
        self.modes.blockSignals(True)
        if self.modes.count() != len(said):
            self.modes.clear()
            self.modes.addItems(said)
        for k, text in enumerate(said):
            self.modes.setItemText(k, tr(text))
        self.modes.blockSignals(False)
        self.modes.setToolTip(self.modes.currentText())  # it may be too long for its field
        limits = stand.brief.limits
        bands = f"bands: rpm of what turns, ±{100 * limits.speed_band:.0f} %;  " if s.motion.speeds else ""
        kept = tr("open: the reference;  ") if self._reference is not None else ""
        legend = kept + tr(f"{bands}dashed: least first mode {limits.frequency:g} Hz")
        self.legend.setText(legend)
        self.legend.setToolTip(legend)
        self.plot.show_stand(stand)
        self._say()
        self._timer.start()
        if self.show_button.isChecked():
            self._send()

    def set_reference(self, stand: Stand | None) -> None:
        """Compare with ``stand`` from now on."""
        self._reference = stand
        self.plot.set_reference(stand)
        if self._stand is not None:
            self.show_stand(self._stand)

    def _change(self, before: float | None, hz: float) -> str:
        """The difference to the same movement of the reference, which may be another of its modes."""
        if self._reference is None:
            return ""
        if before is None:
            return tr(", not among those of the reference")
        change = difference(hz, before, "Hz", "metric")
        return tr(", {change} to the reference", change=change) if change else ""

    def recolour(self) -> None:
        """Take the colours of the present palette."""
        self.plot.recolour()
        self._say()

    def hideEvent(self, event: object) -> None:
        """Nothing plays behind a closed panel."""
        self.show_button.setChecked(False)
        self._timer.stop()
        super().hideEvent(event)

    def _choose(self, mode: int) -> None:
        self.plot.choose(mode)
        self.modes.setToolTip(self.modes.currentText())
        self._say()
        if self.show_button.isChecked():
            self._send()

    # -- the view --------------------------------------------------------------------------------------

    def _show(self, on: bool) -> None:
        if on:
            self._send()
        else:
            self.play_button.setChecked(False)
            self.view.show_swing(None)

    def _play(self, on: bool) -> None:
        self.play_button.setText(tr("Stop" if on else "Play"))
        if on and not self.show_button.isChecked():
            self.show_button.setChecked(True)
        self.view.play(on)

    def _stretch(self, reach: int) -> None:
        self.view.swinging.reach = float(reach)
        self.view.swinging.update()

    def _send(self) -> None:
        if self._stand is None:
            return
        s, playing = self._stand.strength, self.play_button.isChecked()
        words = f"Mode {self.mode + 1}, {s.motion.names[self.mode]}, {s.modes_hz[self.mode]:.1f} Hz: drawn large and slow"
        self.view.swinging.reach = float(self.reach.value())
        self.view.show_swing(make_swing(self._stand, self.mode), words)
        if playing != self.view.swinging.playing:
            self.view.play(playing)

    # -- what would move it ----------------------------------------------------------------------------

    def _work_out(self) -> None:
        if self._stand is None or not self.isVisible() or self._works:
            return
        stand, told = self._stand, posted(self._tell)
        self._works = True
        # Not a runnable of our own: the pool would keep each one, and its stand, for good.
        QThreadPool.globalInstance().start(lambda: _look_for(stand, told))

    def _tell(self, stand: Stand, found: tuple[Sensitivity, ...]) -> None:
        self._works = False
        if stand is self._stand:
            self._found = found
            self._say()
        else:
            self._timer.start()  # the stand has changed meanwhile

    def _say(self) -> None:
        if self._stand is None:
            return
        name = self._stand.strength.motion.names[self.mode]
        if self._found is None:
            self.moves.setText(f"<b>{tr(f'What would move {name}')}</b><br>{tr('is being worked out …')}")
            return
        from framecore.strength import ranked

        told = [s for s in ranked(self._found, self.mode) if np.isfinite(s.after[self.mode])][:MOST]
        lines = "".join(f"<li>{tr(f'{s.sentence(self.mode, name)}.')}</li>" for s in told)
        self.moves.setText(f"<b>{tr(f'What would move {name}')}</b><ol style='margin-left:-22px'>{lines}</ol>")

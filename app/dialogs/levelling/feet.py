"""Step 1: which feet can be turned by hand, ticked where they stand."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QCheckBox, QFrame, QGridLayout, QLabel, QVBoxLayout, QWidget

from app.dialogs.levelling.machine import Machine
from app.words import tr
from framecore.seat.answer import Question
from framecore.seat.influence import Influence

MOST_IN_WORDS = 2  # feet in a row
_SAME = 60.0  # mm: feet nearer than this to one line stand in one row


def _ranks(values: list[float]) -> list[int]:
    """Row or column of each value, those near one another alike."""
    order: list[float] = []
    for v in sorted(values):
        if not order or v - order[-1] > _SAME:
            order.append(v)
    return [max(k for k, o in enumerate(order) if v >= o - 1e-6) for v in values]


class FeetPage(QWidget):
    """Tick boxes in the order of the plan.

    Signals
    -------
    changed() : a tick was set or taken away
    """

    changed = Signal()

    def __init__(self, feet: Influence) -> None:
        super().__init__()
        words = QLabel(
            tr("Draw the machine's bolts tight, then try every foot by hand. Tick those that turn: they carry nothing, and a "
            "stand on three feet rocks. When none turns, tick none.")
        )
        words.setWordWrap(True)
        plan = QFrame()
        plan.setFrameShape(QFrame.Shape.StyledPanel)
        grid = QGridLayout(plan)
        grid.setContentsMargins(12, 8, 12, 8)
        grid.setSpacing(10)
        rows, columns = _ranks(feet.points[:, 1].tolist()), _ranks(feet.points[:, 0].tolist())
        last = max(rows)
        self.boxes: dict[str, QCheckBox] = {}
        wide = max(columns) + 1
        for text, at in (("back", 0), ("front, where you stand", last + 2)):
            side = QLabel(tr(text))
            side.setAlignment(Qt.AlignmentFlag.AlignCenter)
            grid.addWidget(side, at, 0, 1, wide)
        by_place = sorted(range(len(feet.names)), key=lambda k: (-rows[k], columns[k]))
        for k in by_place:
            short = feet.names[k].removeprefix("foot ")
            # With many feet in a row there is room for their names only; the words above say what a tick means.
            box = QCheckBox(tr(f"{short} turns") if wide <= MOST_IN_WORDS else short)
            box.setAccessibleName(tr(f"{feet.names[k]} turns by hand"))
            box.setChecked(bool(feet.open[k]))
            box.toggled.connect(self.changed)
            self.boxes[feet.names[k]] = box
            grid.addWidget(box, last - rows[k] + 1, columns[k], Qt.AlignmentFlag.AlignCenter)
        page = QVBoxLayout(self)
        page.setContentsMargins(0, 0, 0, 0)
        page.setSpacing(10)
        page.addWidget(words)
        page.addWidget(plan)
        if feet.open.any():
            hang = ", ".join(n for n, o in zip(feet.names, feet.open, strict=True) if o)
            note = QLabel(tr(f"On the floor as the brief has it {hang} would hang in the air, so that is ticked already."))
            note.setWordWrap(True)
            page.addWidget(note)
        page.addStretch(1)

    def loose(self) -> tuple[str, ...]:
        """Names of the feet ticked."""
        return tuple(name for name, box in self.boxes.items() if box.isChecked())

    def question(self, machine: Machine) -> Question:
        """Return what this step asks."""
        return Question(wanted=machine.wanted(), loose=self.loose(), tried=True)

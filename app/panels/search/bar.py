"""The line above a search: how many stands, for what, start and stop, what the plot shows, take."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QComboBox, QHBoxLayout, QLabel, QMenu, QPushButton, QToolButton, QWidget

from app.words import tr
from framecore.search import AIMS

BUDGETS = (1000, 4000, 20000, 100000)
WHOLE = 0  # in their place: every stand, however many
# What the plot may show upwards: name of a candidate's value, unit.
UPWARDS = {"sway": "N/mm", "twist": "N m/deg", "bed": "1", "first_mode": "Hz"}


class SearchBar(QWidget):
    """The controls of a search.

    Signals
    -------
    changed() : another number of stands, or other aims
    """

    changed = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("plain")
        head = QLabel(tr("Better stands"))
        head.setObjectName("heading")
        self.budget, self.upwards, self.aims_button = QComboBox(), QComboBox(), QToolButton()
        self.start, self.take = QPushButton(tr("Search")), QPushButton(tr("Take it"))
        self.budget.setAccessibleName(tr("Stands looked at, at most"))
        for n in BUDGETS:
            self.budget.addItem(tr("up to {n} stands", n=n), n)
        self.budget.addItem(tr("all stands, for sure"), WHOLE)
        self.budget.setCurrentIndex(1)
        self.budget.setToolTip(tr("Where all are looked at, no stand that is better in everything is missing"))
        self.upwards.setAccessibleName(tr("Stiffness shown upwards"))
        labels = {
            "sway": tr("Sway stiffness"), "twist": tr("Twist stiffness"), "bed": tr("Jack turn that reaches the bed"),
            "first_mode": tr("First frequency"),
        }  # fmt: skip
        for name in UPWARDS:
            self.upwards.addItem(labels[name], name)
        for box in (self.budget, self.upwards):
            box.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
            box.setMinimumContentsLength(11)
        self.start.setToolTip(tr("Search among what may vary; the window stays alive"))
        self.take.setEnabled(False)
        self.take.setToolTip(tr("Build the stand that is shown in the view; it can be undone"))
        self._aims = self._menu()
        row = QHBoxLayout(self)
        row.setContentsMargins(14, 6, 14, 4)
        row.setSpacing(8)
        for widget in (head, self.budget, self.aims_button, self.start):
            row.addWidget(widget)
        row.addStretch(1)
        row.addWidget(self.upwards)
        row.addWidget(self.take)
        self.budget.currentIndexChanged.connect(lambda _k: self.changed.emit())

    def _menu(self) -> dict[str, QAction]:
        """What a stand has to be better in."""
        menu = QMenu(self.aims_button)
        out = {}
        for name, aim in AIMS.items():
            action = menu.addAction(tr(aim.words).capitalize())
            action.setCheckable(True)
            action.setChecked(name != "hours")  # each stand takes many times as long when its welding is worked out
            action.toggled.connect(lambda _on: self.changed.emit())
            out[name] = action
        self.aims_button.setObjectName("pops")
        self.aims_button.setText(tr("Aims"))
        self.aims_button.setMenu(menu)
        self.aims_button.setPopupMode(QToolButton.ToolButtonPopupMode.InstantPopup)
        self.aims_button.setAccessibleName(tr("What a stand has to be better in"))
        self.aims_button.setToolTip(tr("A stand counts as beaten when another is no worse in all of these"))
        return out

    @property
    def aims(self) -> tuple[str, ...]:
        """What is ticked."""
        return tuple(n for n, a in self._aims.items() if a.isChecked())

    @property
    def most(self) -> int:
        """How many stands are looked at, at most, ``WHOLE`` where none is left out."""
        return int(self.budget.currentData())

    @property
    def up(self) -> str:
        """What the plot shows upwards."""
        return str(self.upwards.currentData())

    def searching(self, on: bool) -> None:
        """The button starts, or stops."""
        self.start.setText(tr("Stop") if on else tr("Search"))
        self.start.setEnabled(True)

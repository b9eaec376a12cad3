"""What this is and what it is not."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QDialog, QDialogButtonBox, QLabel, QVBoxLayout, QWidget

from app.words import tr

VERSION = "0.1.0"
SAFETY = (
    "The figures are no certificate. They rest on the values you gave, on typical ones where you gave "
    "none, and on the rules named in each working. Where the manual of your machine, the maker of a part "
    "or the codes of the place you live in say otherwise, they are right and this program is wrong. "
    "Welding, lifting and running machines can maim: if you are in doubt about a weld, a floor or a lift, "
    "ask somebody who is trained for it."
)


class AboutDialog(QDialog):
    """Name, version, safety note."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle(tr("About Standwright"))
        text = QLabel(
            f"<h2>Standwright {VERSION}</h2>"
            f"<p>{tr('Stands for bench machines, from the height of your elbow to the last piece on the saw.')}</p>"
            f"<p><b>{tr('Before you build')}</b></p><p>{tr(SAFETY)}</p>"
        )
        text.setWordWrap(True)
        text.setMinimumWidth(460)
        text.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close)
        buttons.rejected.connect(self.reject)
        page = QVBoxLayout(self)
        page.setContentsMargins(22, 16, 22, 16)
        page.addWidget(text)
        page.addWidget(buttons)

"""Two versions of a brief against each other, line by line."""

from __future__ import annotations

import difflib

from PySide6.QtGui import QFontDatabase
from PySide6.QtWidgets import QDialog, QDialogButtonBox, QLabel, QPlainTextEdit, QVBoxLayout, QWidget

from app.words import tr

BESIDE = 2  # unchanged lines shown around a change


def differences(old: str, new: str) -> str:
    """Return the changed lines: − only in the first, + only in the second; "" when there are none."""
    lines: list[str] = []
    # The first two lines only name the files.
    for line in [*difflib.unified_diff(old.splitlines(), new.splitlines(), lineterm="", n=BESIDE)][2:]:
        if line.startswith("@@"):
            if lines:
                lines.append("   ⋯")
            continue
        sign = {"-": "−", "+": "+"}.get(line[:1], " ")
        lines.append(f"{sign}  {line[1:]}")
    return "\n".join(lines)


class DifferencesDialog(QDialog):
    """Shows what is in one version and not in the other.

    Parameters
    ----------
    old, new : the two texts; None when there is no such file any more.
    called : what the two are called; the first "" when there never was such a file
    """

    def __init__(
        self, old: str | None, new: str, called: tuple[str, str], parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.setWindowTitle(tr("Differences" if called[0] else "Kept work"))
        self.resize(720, 460)
        changed = differences(old or "", new)
        if not called[0]:
            told = f"It was never saved to a file. This is {called[1]}:"
        elif old is None:
            told = f"There is no {called[0]} any more. This is {called[1]}:"
        elif changed:
            told = f"−  only in {called[0]}\n+  only in {called[1]}"
        else:
            told = f"Both say the same: {called[0]} and {called[1]}."
        head = QLabel(tr(told))
        head.setWordWrap(True)
        self.text = QPlainTextEdit(new if old is None else changed)
        self.text.setReadOnly(True)
        self.text.setAccessibleName(tr("Differences, line by line"))
        self.text.setFont(QFontDatabase.systemFont(QFontDatabase.SystemFont.FixedFont))
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close)
        buttons.rejected.connect(self.reject)
        page = QVBoxLayout(self)
        page.setContentsMargins(16, 14, 16, 14)
        page.addWidget(head)
        page.addWidget(self.text, 1)
        page.addWidget(buttons)

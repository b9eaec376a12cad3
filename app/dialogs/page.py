"""A page of help, read and found in: text that the program ships."""

from __future__ import annotations

import re
from collections.abc import Callable

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeySequence, QShortcut, QTextCursor, QTextDocument
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QTextBrowser,
    QVBoxLayout,
    QWidget,
)

from app.dialogs.sizes import open_at
from app.helping import help_text
from app.words import tr

_HEAD = re.compile(r"^## (\S+)$", re.MULTILINE)


def _named(head: str, name: str) -> str:
    """A heading by its name, with the id that scripts and briefs use below it."""
    return f"## {name}\n\n`{head}`\n" if name else f"## {head}"


def _break_lines(page: QTextDocument) -> None:
    """What a program printed is set in lines that never break; here they would go out of sight."""
    block, cursor = page.begin(), QTextCursor(page)
    cursor.beginEditBlock()
    while block.isValid():
        shape = block.blockFormat()
        if shape.nonBreakableLines():
            shape.setNonBreakableLines(False)
            cursor.setPosition(block.position())
            cursor.setBlockFormat(shape)
        block = block.next()
    cursor.endEditBlock()


class PageDialog(QDialog):
    """Shows one Markdown page of the help; stays open beside the window.

    Parameters
    ----------
    called : what the window calls the id that heads a section, "" where it has no name for it
    """

    def __init__(
        self, title: str, name: str, parent: QWidget | None = None, called: Callable[[str], str] = lambda _head: ""
    ) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle(tr(title))
        open_at(self, 980, 720)
        self.text = QTextBrowser()
        self.text.setOpenExternalLinks(False)
        self.text.setAccessibleName(tr(title))
        page = help_text(name).replace("\nGood: ", f"\n\n{tr('Good')}: ").replace("\nFrom: ", f"\n\n{tr('Source')}: ")
        self.text.setMarkdown(_HEAD.sub(lambda head: _named(head[1], called(head[1])), page))
        _break_lines(self.text.document())
        self.seek = QLineEdit()
        self.seek.setPlaceholderText(tr("Find on this page"))
        self.seek.setAccessibleName(tr("Find on this page"))
        self.seek.setClearButtonEnabled(True)
        self.told = QLabel()
        self.seek.returnPressed.connect(self.find)
        self.seek.textEdited.connect(lambda: self.told.clear())
        QShortcut(QKeySequence.StandardKey.Find, self, self.seek.setFocus)
        row = QHBoxLayout()
        row.addWidget(self.seek, 1)
        row.addWidget(self.told)
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close)
        buttons.rejected.connect(self.reject)
        # Return in the search field must find, not close.
        for button in buttons.buttons():
            button.setAutoDefault(False)
        page = QVBoxLayout(self)
        page.setContentsMargins(16, 14, 16, 14)
        page.addLayout(row)
        page.addWidget(self.text, 1)
        page.addWidget(buttons)

    def find(self) -> None:
        """Go to the next place; from the end on at the top again."""
        wanted = self.seek.text()
        if not wanted:
            return
        if self.text.find(wanted):
            self.told.clear()
            return
        self.text.moveCursor(self.text.textCursor().MoveOperation.Start)
        self.told.setText(tr("from the top again" if self.text.find(wanted) else "not on this page"))

"""Levelling, guided: all feet bearing, level enough, then the twist out of the bed; which screw, which way, how far."""

from __future__ import annotations

from argparse import ArgumentParser
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QFormLayout,
    QLabel,
    QLineEdit,
    QPlainTextEdit,
    QPushButton,
    QTabWidget,
    QVBoxLayout,
    QWidget,
)

from framecore.errors import BriefError, FramecoreError

if TYPE_CHECKING:
    from app.document import Document
    from app.live import Live

STEPS = (
    "1. Turn the feet until none can be turned by hand. Name those that still can below.\n"
    "2. Set the bed level enough for your level to stay on its scale.\n"
    "3. Read across the bed at two or more places, each both ways round, and turn the screws as told; read again."
)
LEVEL_FIELDS = (
    ("sensitivity", "A division is worth", "0.02 mm/m"),
    ("left", "Left end reads", "+1.5 div, -0.5 div"),
    ("middle", "Middle reads", ""),
    ("right", "Right end reads", "-1 div, +2 div"),
    ("along", "Along the bed", ""),
    ("loose", "Feet that turn by hand", ""),
)
TEST_FIELDS = (
    ("near", "Diameter at the chuck", "24.98"),
    ("free", "Diameter at the free end", "25.01"),
    ("between", "From collar to collar", "75"),
    ("overhang", "Free collar to the jaws", "90"),
    ("bar", "Diameter of the bar", "25"),
)


class LevelDialog(QDialog):
    """Readings or a turning test in, moves out; the same answer as the command line gives."""

    def __init__(self, live: Live, document: Document, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle("Level the machine")
        self.resize(700, 720)
        self._live, self._document = live, document
        self.fields: dict[str, QLineEdit] = {}
        self.tabs = QTabWidget()
        self.tabs.addTab(self._form(LEVEL_FIELDS), "Readings of a level")
        self.tabs.addTab(self._form(TEST_FIELDS), "Turning test with two collars")
        steps = QLabel(
            f"{STEPS}\nA reading is + where the bubble goes to the back; after a comma the same with the level turned end "
            "for end. The turning test is cut in the chuck, without a tailstock."
        )
        steps.setWordWrap(True)
        self.work = QPushButton("What to turn")
        self.work.setDefault(True)
        self.work.clicked.connect(lambda: self.work_out(log=False))
        self.answer = QPlainTextEdit()
        self.answer.setReadOnly(True)
        self.answer.setAccessibleName("Answer")
        self.answer.setPlaceholderText("Which screw, which way and how far, and what should be read then.")
        self.keep = QPushButton("Keep this round in the record")
        self.keep.setToolTip("Beside the brief; the next answer uses what this round taught")
        self.keep.setEnabled(document.path is not None)
        self.keep.clicked.connect(lambda: self.work_out(log=True))
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close)
        buttons.rejected.connect(self.reject)
        for button in (self.keep, *buttons.buttons()):
            button.setAutoDefault(False)
        page = QVBoxLayout(self)
        page.setContentsMargins(16, 14, 16, 14)
        page.setSpacing(10)
        page.addWidget(steps)
        page.addWidget(self.tabs)
        page.addWidget(self.work)
        page.addWidget(self.answer, 1)
        page.addWidget(self.keep)
        page.addWidget(buttons)

    def _form(self, rows: tuple[tuple[str, str, str], ...]) -> QWidget:
        widget = QWidget()
        form = QFormLayout(widget)
        for name, label, example in rows:
            line = self.fields[name] = QLineEdit()
            line.setPlaceholderText(f"for example {example}" if example else "may stay empty")
            line.setAccessibleName(label)
            line.returnPressed.connect(lambda: self.work_out(log=False))
            form.addRow(label, line)
        return widget

    def words(self) -> list[str]:
        """The question as the command line would put it."""
        text = {name: line.text().strip() for name, line in self.fields.items()}
        out: list[str] = []
        if self.tabs.currentIndex() == 0:
            out += [w for end in ("left", "middle", "right") if text[end] for w in ("--reading", f"{end}: {text[end]}")]
            out += [f"--{n}={text[n]}" for n in ("sensitivity", "along") if text[n]]
            out += [f"--loose={foot}" for foot in text["loose"].replace(",", " ").split()]
        else:
            if text["near"] or text["free"]:
                out += ["--collars", text["near"] or "0", text["free"] or "0"]
            out += [f"--{n}={text[n]}" for n in ("between", "overhang", "bar") if text[n]]
        return out

    def work_out(self, *, log: bool) -> None:
        """Ask for the moves and show the answer, or the sentence that says what is missing."""
        from app.cli.level import add_parser, told

        stand = self._live.stand
        if stand is None:
            return
        parser = ArgumentParser()
        add_parser(parser.add_subparsers(), [])
        path = self._document.path or Path("unsaved.toml")
        args = parser.parse_args(["level", str(path), *self.words(), *(["--log"] if log else [])])
        try:
            self.answer.setPlainText(told(args, stand))
        except BriefError as fault:
            self.answer.setPlainText(" ".join(f.message for f in fault.findings) or str(fault))
        except (FramecoreError, OSError) as fault:
            self.answer.setPlainText(str(fault))

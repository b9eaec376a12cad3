"""One place where faults of the program end: first the work is saved, then the maker is told."""

from __future__ import annotations

import sys
import threading
import traceback
from collections.abc import Callable
from pathlib import Path
from types import TracebackType

from PySide6.QtCore import QObject, Qt, Signal
from PySide6.QtWidgets import (
    QApplication,
    QDialog,
    QHBoxLayout,
    QLabel,
    QPlainTextEdit,
    QPushButton,
    QVBoxLayout,
)

from app.dialogs.modal import ask
from app.words import tr


class FaultDialog(QDialog):
    """Says that something failed, where the copy is, and holds the text for a report."""

    def __init__(self, saved: Path | None, report: str) -> None:
        super().__init__()
        self.setWindowTitle(tr("Something went wrong"))
        self.resize(640, 360)
        kept = f"A copy of your brief is in {saved}." if saved else "No copy of your brief could be written."
        text = QLabel(
            tr(f"The program met a fault of its own. {kept} You can go on; save under a new name to be safe.")
        )
        text.setWordWrap(True)
        text.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self.report = QPlainTextEdit(report)
        self.report.setReadOnly(True)
        copy, close = QPushButton(tr("Copy the report")), QPushButton(tr("Go on"))
        copy.clicked.connect(lambda: QApplication.clipboard().setText(self.report.toPlainText()))
        close.clicked.connect(self.accept)
        foot = QHBoxLayout()
        foot.addWidget(copy)
        foot.addStretch(1)
        foot.addWidget(close)
        page = QVBoxLayout(self)
        page.addWidget(text)
        page.addWidget(self.report, 1)
        page.addLayout(foot)


class FaultHub(QObject):
    """Catches what nobody caught, in every thread; tells each place of the program once.

    A fault is told from the window's own loop of events, never from within the stroke it happened in: that may be
    another thread, or half a painting.

    Parameters
    ----------
    rescue : writes a copy of the work and returns where it is, None when it could not.
    show : tells the maker; a dialog by default.
    debug : also print the traceback.
    """

    _fault = Signal(str, str)

    def __init__(
        self,
        rescue: Callable[[], Path | None],
        show: Callable[[Path | None, str], None] | None = None,
        debug: bool = False,
    ) -> None:
        super().__init__()
        self._rescue = rescue
        self._show = show or (lambda saved, report: ask(FaultDialog(saved, report)))
        self._debug = debug
        self._busy = False
        self._seen: set[str] = set()
        self._untold: list[str] = []
        self._fault.connect(self._take, Qt.ConnectionType.QueuedConnection)

    def install(self) -> None:
        """Take over the hooks of the interpreter."""
        sys.excepthook = self.caught
        threading.excepthook = lambda a: self.caught(a.exc_type, a.exc_value, a.exc_traceback)
        sys.unraisablehook = lambda a: self.caught(a.exc_type, a.exc_value, a.exc_traceback)

    def remove(self) -> None:
        """Give the hooks back."""
        sys.excepthook = sys.__excepthook__
        threading.excepthook = threading.__excepthook__
        sys.unraisablehook = sys.__unraisablehook__

    def caught(
        self, kind: type[BaseException], error: BaseException | None, trace: TracebackType | None
    ) -> None:
        """Take one uncaught exception."""
        if issubclass(kind, KeyboardInterrupt):
            QApplication.quit()
            return
        report = "".join(traceback.format_exception(kind, error, trace))
        if self._debug:
            sys.stderr.write(report)
        self._fault.emit(_place(kind, trace), report)

    def _take(self, place: str, report: str) -> None:
        # A fault of a painting comes again with every painting, with other numbers in its words perhaps.
        if place in self._seen:
            return
        self._seen.add(place)
        self._untold.append(report)
        if self._busy:
            return  # told when the maker has put away what is on the screen
        self._busy = True
        try:
            while self._untold:
                told, self._untold = self._untold, []
                self._show(self._rescue(), "\n".join(told))
        finally:
            self._busy = False


def _place(kind: type[BaseException], trace: TracebackType | None) -> str:
    """Name the kind of fault and where in the program it was raised."""
    last = traceback.extract_tb(trace)[-1:]
    return " ".join([kind.__name__, *(f"{f.filename}:{f.lineno}" for f in last)])

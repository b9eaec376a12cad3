"""Sees when somebody else writes the file that is open."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QFileSystemWatcher, QObject, QTimer, Signal

if TYPE_CHECKING:
    from app.document.document import Document

# Other programs write in several strokes; what is there a moment later is what they meant.
SETTLE_MS = 250


class FileWatch(QObject):
    """Watches the file of a document.

    Signals
    -------
    changed(state) : what is on disk differs from what was opened or saved here; None when the file is gone
    same() : it is, or is again, what was opened or saved here
    """

    changed = Signal(object)
    same = Signal()

    def __init__(self, document: Document, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self._watcher = QFileSystemWatcher(self)
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(SETTLE_MS)
        self._timer.timeout.connect(self.check)
        self._watcher.fileChanged.connect(self._stirred)
        self._watcher.directoryChanged.connect(self._stirred)
        document.named.connect(self._follow)
        self._follow(document.path)

    def _follow(self, _path: object) -> None:
        old = [*self._watcher.files(), *self._watcher.directories()]
        if old:
            self._watcher.removePaths(old)
        path = self._document.path
        if path is not None and path.exists():
            # The folder as well: a file that is replaced is no longer the one that is watched.
            self._watcher.addPaths([str(path.absolute()), str(path.absolute().parent)])
        self.same.emit()

    def _stirred(self, _path: str) -> None:
        self._timer.start()

    def check(self) -> None:
        """Look now; also called when the window comes to the front, since some folders send no word."""
        document = self._document
        if document.path is None or document.on_disk is None:
            return
        path = str(document.path.absolute())
        state = document.disk_now()
        if state is not None and path not in self._watcher.files():
            self._watcher.addPath(path)
        if state == document.on_disk:
            if document.dirty and document.source.text().encode("utf-8") == _content(document):
                document.history.setClean()  # the file that was gone is back
            self.same.emit()
            return
        if state is None and not document.dirty:
            document.mark_unsaved()
        self.changed.emit(state)

    def close(self) -> None:
        """Look no more."""
        self._timer.stop()
        self._watcher.blockSignals(True)


def _content(document: Document) -> bytes:
    try:
        return document.path.read_bytes() if document.path else b""
    except OSError:
        return b""

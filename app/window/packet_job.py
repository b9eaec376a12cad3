"""Writes the packet beside the window's own work, so that the hand may go on."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QThreadPool, Signal

from app.live.post import posted

if TYPE_CHECKING:
    from framecore.stand.model import Stand


class PacketJob(QObject):
    """One packet at a time.

    Signals
    -------
    done(folder) : it is there, whole
    failed(sentence) : it could not be written; nothing is left of it
    fault(exception) : something the program did not foresee
    """

    done = Signal(str)
    failed = Signal(str)
    fault = Signal(object)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._pool = QThreadPool(self)
        self._pool.setMaxThreadCount(1)
        self.running = False

    def start(self, stand: Stand, folder: Path) -> None:
        """Begin; the stand is a frozen value, so what is edited meanwhile changes nothing of it."""
        self.running = True
        told = posted(self._ended)
        self._pool.start(lambda: _write(stand, folder, told))

    def wait(self) -> None:
        """Return when nothing is being written any more."""
        self._pool.waitForDone()

    def _ended(self, way: str, value: object) -> None:
        self.running = False
        {"done": self.done, "failed": self.failed, "fault": self.fault}[way].emit(value)


def _write(stand: Stand, folder: Path, ended: Callable[[str, object], None]) -> None:
    from app.cli.packet import write_packet

    try:
        write_packet(stand, folder, force=False)
    except OSError as error:
        ended("failed", f"The packet was not written: {error.strerror or error}.")
    except Exception as error:
        ended("fault", error)
    else:
        ended("done", str(folder))

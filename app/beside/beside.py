"""The window's side: asks a process of its own, and hears what it says while the window stays alive."""

from __future__ import annotations

import atexit
import multiprocessing
import weakref
from typing import Any

from PySide6.QtCore import QObject, QTimer, Signal

from app.beside.serve import Begun, Ended, Work, serve

LISTEN_MS = 30
LEAVE_S = 1.5  # a process that has not left by then is ended
GONE = "The work beside the window ended unexpectedly; ask again."


class Beside(QObject):
    """One question at a time: a new one takes the place of the one at work. The process starts with the first.

    Parameters
    ----------
    work : a function of a module, see ``serve.Work``
    alone : whether the process starts none of its own

    Signals
    -------
    told(message) : of the question asked last, never of an earlier one
    ended(sentence) : it is answered, "" or what went wrong
    fault(exception) : something the program did not foresee
    """

    told = Signal(object)
    ended = Signal(str)
    fault = Signal(object)

    def __init__(self, work: Work, parent: QObject | None = None, *, alone: bool = True) -> None:
        super().__init__(parent)
        self._work, self._alone = work, alone
        self._process: Any = None
        self._line: Any = None
        self._number = 0
        self._sent: int | None = None  # not yet begun: nothing else is sent, or a full line would stop the window
        self._next: tuple[int, Any] | None = None
        self.busy = False
        self._timer = QTimer(self)
        self._timer.setInterval(LISTEN_MS)
        self._timer.timeout.connect(self._listen)

    def ask(self, question: Any) -> None:
        """Ask; what was asked before is dropped."""
        self._number += 1
        self.busy = True
        self._send(self._number, question)

    def stop(self) -> None:
        """Drop the question at work; nothing more is told of it."""
        if self.busy:
            self._number += 1
            self.busy = False
            self._send(self._number, None)

    def close(self) -> None:
        """End the process; it is given time to leave by itself."""
        self._timer.stop()
        self.busy = False
        self.leave()

    def leave(self) -> None:
        """End the process, without the toolkit: it may be gone already."""
        self._next, self._sent = None, None
        process, line = self._process, self._line
        self._process = self._line = None
        if process is None:
            return
        line.close()
        process.join(LEAVE_S)
        if process.is_alive():
            process.terminate()
            process.join(LEAVE_S)
        process.close()

    def _send(self, number: int, question: Any) -> None:
        self._next = (number, question)
        if self._process is None:
            if question is None:
                return
            self._start()
        self._flush()
        self._timer.start()

    def _start(self) -> None:
        context = multiprocessing.get_context("spawn")
        self._line, theirs = context.Pipe()
        self._process = context.Process(target=serve, args=(theirs, self._work), daemon=self._alone)
        self._process.start()
        theirs.close()
        atexit.register(_shut, weakref.ref(self))  # else the program waits for a process that waits for it

    def _flush(self) -> None:
        if self._next is not None and self._sent is None:
            (self._sent, question), self._next = self._next, None
            try:
                self._line.send((self._sent, question))
            except OSError:
                self._lost()

    def _listen(self) -> None:
        try:
            while self._line is not None and self._line.poll():
                number, message = self._line.recv()
                self._hear(number, message)
        except (EOFError, OSError):
            self._lost()

    def _hear(self, number: int, message: Any) -> None:
        if isinstance(message, Begun):
            self._sent = None
            self._flush()
        elif isinstance(message, Ended):
            if number == self._number:
                self._timer.stop()
                self.busy = False
                if message.foreseen:
                    self.ended.emit(message.sentence)
                else:
                    self.ended.emit(GONE)
                    self.fault.emit(RuntimeError(message.sentence))
        elif number == self._number:
            self.told.emit(message)

    def _lost(self) -> None:
        was = self.busy
        self.close()
        if was:
            self.ended.emit(GONE)


def _shut(beside: weakref.ref[Beside]) -> None:
    found = beside()
    if found is not None:
        found.leave()

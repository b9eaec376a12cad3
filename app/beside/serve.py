"""The other side: answers one question after another; a newer question, or the window's end, stops the one at work."""

from __future__ import annotations

import signal
from collections.abc import Callable
from dataclasses import dataclass
from multiprocessing.connection import Connection
from typing import Any

# Takes the question, a way to say something (raises Stopped when nobody wants to hear more), and a way to ask for that.
Work = Callable[[Any, Callable[[Any], None], Callable[[], bool]], None]


class Stopped(Exception):  # noqa: N818  no fault: somebody wants something else
    """The question at work has been dropped."""


@dataclass(frozen=True, slots=True)
class Begun:
    """The question has arrived."""


@dataclass(frozen=True, slots=True)
class Ended:
    """The question is answered; ``sentence`` says what went wrong, ``foreseen`` is false for a fault of the program."""

    sentence: str = ""
    foreseen: bool = True


def serve(line: Connection, work: Work) -> None:
    """Answer questions ``(number, question)`` with ``(number, message)`` until the line is closed."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the window decides
    try:
        while True:
            number, question = line.recv()
            line.send((number, Begun()))
            line.send((number, _answer(line, work, number, question)))
    except (EOFError, OSError):
        return  # the window is gone


def _answer(line: Connection, work: Work, number: int, question: Any) -> Ended:
    from framecore.errors import FramecoreError

    def stop() -> bool:
        return line.poll()  # a newer question, an order to stop, or the end of the line

    def say(message: Any) -> None:
        line.send((number, message))
        if stop():
            raise Stopped

    if question is None:
        return Ended()
    try:
        work(question, say, stop)
    except Stopped:
        return Ended()
    except FramecoreError as fault:
        found = getattr(fault, "findings", ())
        return Ended(str(found[0].message) if found else str(fault))
    except (EOFError, BrokenPipeError, ConnectionError):
        raise
    except Exception as fault:
        return Ended(f"{type(fault).__name__}: {fault}", foreseen=False)
    return Ended()

"""Brings what other threads found to the window's thread.

A signal sent from another thread reads its object while the window's thread may be taking that object down, and that ends
the program. So other threads touch nothing of the toolkit but the one object here, which outlives every window.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable
from functools import cache
from typing import Any
from weakref import WeakMethod

from PySide6.QtCore import QObject, Qt, Signal
from shiboken6 import isValid


class _Post(QObject):
    """Calls that wait for the window's thread, in the order they came."""

    _came = Signal()

    def __init__(self) -> None:
        super().__init__()
        self._calls: deque[tuple[WeakMethod[Callable[..., None]], tuple[Any, ...]]] = deque()
        self._came.connect(self._hand_over, Qt.ConnectionType.QueuedConnection)

    def send(self, method: WeakMethod[Callable[..., None]], values: tuple[Any, ...]) -> None:
        """Leave a call here; from any thread."""
        self._calls.append((method, values))
        self._came.emit()

    def _hand_over(self) -> None:
        # One call for each signal: where one of them raises, the next is heard all the same.
        held, values = self._calls.popleft()
        method = held()
        if method is not None and isValid(method.__self__):  # type: ignore[attr-defined]
            method(*values)


@cache
def _post() -> _Post:
    return _Post()


def posted(method: Callable[..., None]) -> Callable[..., None]:
    """Return a function for another thread, which has ``method`` called in this one.

    Nothing is called once the object of ``method`` is gone, and the function does not hold it. Ask for it in the window's
    thread.
    """
    post, held = _post(), WeakMethod(method)
    return lambda *values: post.send(held, values)

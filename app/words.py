"""Every visible text of the window goes through one function, so that it can be said in another language."""

from __future__ import annotations

from typing import Any

from framecore.words import say


def tr(text: str, **values: Any) -> str:
    """Return ``text`` as it is shown, with ``{name}`` filled in from ``values``."""
    return say(text.format(**values) if values else text)

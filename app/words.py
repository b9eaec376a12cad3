"""Every visible text of the window goes through one function, so that it can be said in another language."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

from framecore.words import say

if TYPE_CHECKING:
    from PySide6.QtWidgets import QComboBox


def tr(text: str, /, **values: Any) -> str:
    """Return ``text`` as it is shown, with ``{name}`` filled in from ``values``."""
    return say(text.format(**values) if values else text)


def understood(text: str, *words: str) -> str:
    """Return typed ``text`` with those of the program's ``words`` that it holds as they are said, as the program knows them."""
    for word in words:
        text = re.sub(rf"\b{re.escape(tr(word))}\b", word, text, flags=re.IGNORECASE)
    return text


def offer(box: QComboBox, options: Iterable[str]) -> None:
    """Put the ``options`` of a brief into ``box``, shown as they are said; each entry's data is the option itself."""
    for option in options:
        box.addItem(tr(option), option)

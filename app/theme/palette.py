"""Two sets of colours, and which one is in use."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Palette:
    """Colours as "#rrggbb".

    Grounds: ``paper`` what is drawn on, ``panel`` beside it, ``desk`` under sheets, ``hover`` under the mouse,
    ``lit`` what is chosen. On them: ``ink``, ``soft`` (second rank), ``faint`` (typical values, stale figures),
    ``line`` (rules), ``accent`` (what can be moved or asked). Verdicts, never shown without a word:
    ``good``, ``look``, ``stop``.
    """

    paper: str
    panel: str
    desk: str
    ink: str
    soft: str
    faint: str
    line: str
    hover: str
    lit: str
    accent: str
    good: str
    look: str
    stop: str


LIGHT = Palette(
    paper="#faf8f3", panel="#f3f0e9", desk="#d6d2c8",
    ink="#24272b", soft="#51565c", faint="#63676b", line="#d3cec3",
    hover="#ebe7dd", lit="#d6e5e1", accent="#17685f",
    good="#2f6b35", look="#855000", stop="#a32a22",
)  # fmt: skip
DARK = Palette(
    paper="#1e2124", panel="#25292c", desk="#141618",
    ink="#e6e3dc", soft="#b6b5b0", faint="#9b9c97", line="#3d4246",
    hover="#2e3337", lit="#24453f", accent="#6cc4b4",
    good="#86c78a", look="#e0b060", stop="#f0928a",
)  # fmt: skip

_present = LIGHT


def set_dark(on: bool) -> None:
    """Choose the dark set or the light one."""
    global _present
    _present = DARK if on else LIGHT


def palette() -> Palette:
    """Return the set in use; ask at every painting, it may change."""
    return _present

"""Both sets of colours can be read, and the style follows the set in use."""

from __future__ import annotations

import pytest

from app.theme import DARK, LIGHT, palette, set_dark, style_sheet


def luminance(colour: str) -> float:
    """Relative luminance of WCAG 2.1."""
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


@pytest.mark.parametrize("colours", [LIGHT, DARK])
@pytest.mark.parametrize("name", ["ink", "soft", "faint", "accent", "good", "look", "stop"])
@pytest.mark.parametrize("ground", ["paper", "panel"])
def test_words_stand_out_from_their_ground(colours, name, ground):
    # 4.5 : 1 is what WCAG 2.1, 1.4.3 (level AA) asks of text.
    a, b = sorted((luminance(getattr(colours, name)), luminance(getattr(colours, ground))))
    assert (b + 0.05) / (a + 0.05) >= 4.5


def test_style_follows_the_set_in_use():
    set_dark(True)
    try:
        assert palette() is DARK
        assert DARK.paper in style_sheet() and LIGHT.paper not in style_sheet()
    finally:
        set_dark(False)
    assert palette() is LIGHT and LIGHT.paper in style_sheet()

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


# Word on ground, wherever the style puts one on the other besides paper and panel.
OTHERS = (
    ("ink", "lit"), ("ink", "hover"), ("soft", "hover"), ("accent", "hover"), ("good", "hover"), ("look", "hover"),
    ("stop", "hover"), ("faint", "hover"), ("paper", "accent"), ("ink", "desk"), ("accent", "lit"),
)  # fmt: skip


@pytest.mark.parametrize("colours", [LIGHT, DARK])
@pytest.mark.parametrize(("name", "ground"), OTHERS)
def test_words_stand_out_where_something_is_chosen_or_under_the_mouse(colours, name, ground):
    a, b = sorted((luminance(getattr(colours, name)), luminance(getattr(colours, ground))))
    assert (b + 0.05) / (a + 0.05) >= 4.5


@pytest.mark.parametrize("colours", [LIGHT, DARK])
def test_arrows_and_rims_are_seen(colours):
    # 3 : 1 is what WCAG 2.1, 1.4.11 asks of parts that one works with.
    from importlib import resources

    arrow = resources.files("resources.icons").joinpath("down.svg").read_text().split('stroke="')[1][:7]
    for name, ground in ((arrow, colours.paper), (colours.accent, colours.paper), (colours.accent, colours.panel)):
        a, b = sorted((luminance(name), luminance(ground)))
        assert (b + 0.05) / (a + 0.05) >= 3.0


@pytest.mark.parametrize("dark", [False, True])
def test_a_hint_in_an_empty_field_can_be_read(qtbot, dark):
    from PySide6.QtWidgets import QLineEdit

    set_dark(dark)
    try:
        field = QLineEdit()
        qtbot.addWidget(field)
        field.setStyleSheet(style_sheet())
        field.setPlaceholderText("not given")
        field.ensurePolished()
        assert field.palette().placeholderText().color().name() == palette().faint
    finally:
        set_dark(False)


def test_style_follows_the_set_in_use():
    set_dark(True)
    try:
        assert palette() is DARK
        assert DARK.paper in style_sheet() and LIGHT.paper not in style_sheet()
    finally:
        set_dark(False)
    assert palette() is LIGHT and LIGHT.paper in style_sheet()

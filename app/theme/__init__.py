"""Colours and style of the window: calm paper, ink lines, one accent; light and dark."""

from app.theme.palette import DARK, LIGHT, Palette, palette, set_dark
from app.theme.sheet import style_sheet

__all__ = ["DARK", "LIGHT", "Palette", "palette", "set_dark", "style_sheet"]

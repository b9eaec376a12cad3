"""Shop sheets: a stand becomes frozen drawing primitives, and pens put them on paper or in a file."""

from __future__ import annotations

from framecore.sheets.dxf import write_dxf
from framecore.sheets.pdf import write_pdf
from framecore.sheets.svg import write_svg

__all__ = ["write_dxf", "write_pdf", "write_svg"]

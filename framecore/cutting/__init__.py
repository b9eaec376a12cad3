"""Proven cut plans for bars and sheets. Knows lengths, outlines and labels, not frames."""

from __future__ import annotations

from typing import TYPE_CHECKING

from framecore.cutting.model import Bar, Cut, CutBar, CutPlan, Piece
from framecore.cutting.plan import plan_cuts, quick_plan
from framecore.first_use import at_first_use

if TYPE_CHECKING:
    from framecore.cutting.nest import plan_sheets
    from framecore.cutting.nest_model import Placement, Remnant, SheetCut, SheetPart, SheetPlan, SheetStock

__all__ = [
    "Bar", "Cut", "CutBar", "CutPlan", "Piece", "Placement", "Remnant", "SheetCut", "SheetPart", "SheetPlan", "SheetStock",
    "plan_cuts", "plan_sheets", "quick_plan",
]  # fmt: skip

_NEST = ("Placement", "Remnant", "SheetCut", "SheetPart", "SheetPlan", "SheetStock")
# Few stands take whole sheets.
__getattr__ = at_first_use(
    __name__, {"plan_sheets": "framecore.cutting.nest", **dict.fromkeys(_NEST, "framecore.cutting.nest_model")}
)

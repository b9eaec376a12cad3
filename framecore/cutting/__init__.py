"""Proven cut plans for bars and sheets. Knows lengths, outlines and labels, not frames."""

from __future__ import annotations

from framecore.cutting.model import Bar, Cut, CutBar, CutPlan, Piece
from framecore.cutting.nest import plan_sheets
from framecore.cutting.nest_model import Placement, Remnant, SheetCut, SheetPart, SheetPlan, SheetStock
from framecore.cutting.plan import plan_cuts, quick_plan

__all__ = [
    "Bar", "Cut", "CutBar", "CutPlan", "Piece", "Placement", "Remnant", "SheetCut", "SheetPart", "SheetPlan", "SheetStock",
    "plan_cuts", "plan_sheets", "quick_plan",
]  # fmt: skip

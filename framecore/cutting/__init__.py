"""Proven cut plans for bars. Knows lengths and labels, not frames."""

from __future__ import annotations

from framecore.cutting.model import Bar, Cut, CutBar, CutPlan, Piece
from framecore.cutting.plan import plan_cuts, quick_plan

__all__ = ["Bar", "Cut", "CutBar", "CutPlan", "Piece", "plan_cuts", "quick_plan"]

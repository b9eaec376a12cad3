"""The whole stand in one value."""

from __future__ import annotations

from framecore.stand.evaluate import Evaluator, evaluate
from framecore.stand.model import Stand

__all__ = ["Evaluator", "Stand", "evaluate"]

"""The whole stand in one value."""

from __future__ import annotations

from framecore.stand.model import Stand
from framecore.stand.stages import Evaluator, evaluate

__all__ = ["Evaluator", "Stand", "evaluate"]

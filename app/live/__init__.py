"""Evaluation while the hand moves."""

from app.live.live import STALE, Live

__all__ = ["STALE", "Live"]

"""Evaluation while the hand moves."""

from app.live.live import Live

__all__ = ["Live"]

"""A seeded monkey at the real window."""

from __future__ import annotations

from tests.app.monkey.monkey import Monkey

__all__ = ["Monkey"]

"""The hole pattern: from the manual, from measured distances, from a rubbing."""

from app.dialogs.pattern.dialog import PatternDialog

__all__ = ["PatternDialog"]

"""The levelling window: one step at a time, what to turn on a plan, and the rounds kept beside the brief."""

from app.dialogs.levelling.dialog import LevelDialog

__all__ = ["LevelDialog"]

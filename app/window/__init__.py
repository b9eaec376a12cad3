"""The window: view in the middle, what you tell it left, what it answers right, the cut plan below."""

from app.window.main_window import MainWindow

__all__ = ["MainWindow"]

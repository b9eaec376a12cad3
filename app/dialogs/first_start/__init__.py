"""The first questions of a new stand: what machine, and the few numbers only the maker knows."""

from app.dialogs.first_start.dialog import FirstStart

__all__ = ["FirstStart"]

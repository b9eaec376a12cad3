"""Side by side with the reference, a variant or another brief; variants are kept, taken, renamed and dropped here."""

from __future__ import annotations

from app.dialogs.compare.dialog import CompareDialog

__all__ = ["CompareDialog"]

"""The open brief: undo, dirty state, files, settings."""

from app.document.document import Document
from app.document.settings import Settings

__all__ = ["Document", "Settings"]

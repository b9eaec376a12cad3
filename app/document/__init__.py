"""The open brief: undo, dirty state, files, kept work, settings."""

from app.document.document import Document
from app.document.rescue import Rescue
from app.document.settings import Settings

__all__ = ["Document", "Rescue", "Settings"]

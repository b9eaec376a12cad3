"""One step of the undo stack."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtGui import QUndoCommand

if TYPE_CHECKING:
    from app.document.document import Document
    from framecore.brief import BriefSource


class Edit(QUndoCommand):
    """Replaces one brief by another; further steps of the same gesture are taken up by ``go_on``."""

    def __init__(
        self, document: Document, old: BriefSource, new: BriefSource, text: str, gesture: int | None
    ) -> None:
        super().__init__(text)
        self.document, self.old, self.new, self.gesture = document, old, new, gesture

    def go_on(self, new: BriefSource) -> None:
        """Show a brief that is further along; there-and-back is no step."""
        # Not by Qt's own merging: a command that ends within ``push`` is never given back by the binding.
        self.new = new
        self.setObsolete(new.values == self.old.values)
        self.redo()

    def redo(self) -> None:
        """Show the new brief."""
        self.document.show(self.new)

    def undo(self) -> None:
        """Show the old brief."""
        self.document.show(self.old)

"""One step of the undo stack."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtGui import QUndoCommand

if TYPE_CHECKING:
    from app.document.document import Document
    from framecore.brief import BriefSource


class Edit(QUndoCommand):
    """Replaces one brief by another; steps of one gesture melt into one, and there-and-back into none."""

    def __init__(
        self, document: Document, old: BriefSource, new: BriefSource, text: str, gesture: int | None
    ) -> None:
        super().__init__(text)
        self.document, self.old, self.new, self.gesture = document, old, new, gesture

    def id(self) -> int:
        """Only steps with an id are offered for merging."""
        return 1 if self.gesture is not None else -1

    def mergeWith(self, other: QUndoCommand) -> bool:
        """Take over the end of ``other`` when it belongs to the same gesture."""
        if not isinstance(other, Edit) or other.gesture != self.gesture:
            return False
        self.new = other.new
        self.setObsolete(self.new.values == self.old.values)
        return True

    def redo(self) -> None:
        """Show the new brief."""
        self.document.show(self.new)

    def undo(self) -> None:
        """Show the old brief."""
        self.document.show(self.old)

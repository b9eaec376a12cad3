"""Pages of which one is shown; the others take no room, so that a long one makes no short one scroll."""

from __future__ import annotations

from PySide6.QtWidgets import QVBoxLayout, QWidget


class Pages(QWidget):
    """One page at a time."""

    def __init__(self, *pages: QWidget) -> None:
        super().__init__()
        self.pages: list[QWidget] = []
        self.index = 0
        self._layout = QVBoxLayout(self)
        self._layout.setContentsMargins(0, 0, 0, 0)
        for page in pages:
            self._layout.addWidget(page)
            self.pages.append(page)
        self.open(0)

    def open(self, index: int) -> None:
        """Show that page."""
        self.index = index
        # Hidden first: for a moment two pages would ask for the room of both.
        for page in self.pages:
            page.setVisible(False)
        self.pages[index].setVisible(True)

    def exchange(self, index: int, page: QWidget) -> None:
        """Put another page in the place of one, which is thrown away."""
        old = self.pages[index]
        self._layout.replaceWidget(old, page)
        self.pages[index] = page
        old.hide()
        old.deleteLater()
        self.open(self.index)

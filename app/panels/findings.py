"""The strip of findings below the view."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QListWidget, QListWidgetItem, QVBoxLayout, QWidget

from app.words import tr
from framecore.errors import Finding, Severity

SHOWN = 3


class FindingsStrip(QWidget):
    """Every sentence there is to say, stops first. Takes no room when there is nothing to say.

    Signals
    -------
    asked(Finding) : the maker wants to go there
    """

    asked = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("findings")
        self.list = QListWidget()
        self.list.setAccessibleName(tr("Findings"))
        self.list.setWordWrap(True)
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        page = QVBoxLayout(self)
        page.setContentsMargins(0, 0, 0, 0)
        page.addWidget(self.list)
        self.list.itemActivated.connect(self._ask)
        self.list.itemClicked.connect(self._ask)
        self._shown: tuple[Finding, ...] | None = None
        self.hide()

    def show_findings(self, findings: tuple[Finding, ...]) -> None:
        """Replace the sentences."""
        ordered = tuple(sorted(findings, key=lambda f: f.severity is not Severity.STOP))
        if ordered == self._shown:
            return
        self._shown = ordered
        self.list.clear()
        for finding in ordered:
            shape = "■" if finding.severity is Severity.STOP else "▲"
            extra = "  " + tr(f"Allowed: {finding.allowed}.") if finding.allowed else ""
            extra += "  " + tr(f"Nearest: {finding.nearest}.") if finding.nearest else ""
            item = QListWidgetItem(f"{shape}  {tr(finding.severity.value)}   {tr(finding.message)}{extra}")
            item.setData(Qt.ItemDataRole.UserRole, finding)
            self.list.addItem(item)
        self.setVisible(bool(ordered))
        lines = min(len(ordered), SHOWN)
        self.setFixedHeight(lines * (self.fontMetrics().height() + 10) + 6 if lines else 0)

    def _ask(self, item: QListWidgetItem) -> None:
        self.asked.emit(item.data(Qt.ItemDataRole.UserRole))

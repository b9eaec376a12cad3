"""The strip of findings below the view."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from PySide6.QtCore import QRect, Qt, Signal
from PySide6.QtGui import QBrush, QColor, QResizeEvent
from PySide6.QtWidgets import QListWidget, QListWidgetItem, QVBoxLayout, QWidget

from app.inputs.fields import told_of
from app.theme import palette
from app.words import tr
from framecore.errors import Finding, Severity
from framecore.units import typeset

if TYPE_CHECKING:
    from framecore.stand.model import Stand

SHOWN = 3  # sentences at once
LINES = 5  # that they may take together
MARGIN = 11  # px beside a sentence: of the strip and of an item
SHAPES = {Severity.STOP: "■", Severity.LOOK: "▲"}
Key = tuple[str, str, str]


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
        self.list.setResizeMode(QListWidget.ResizeMode.Adjust)
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        page = QVBoxLayout(self)
        page.setContentsMargins(0, 0, 0, 0)
        page.addWidget(self.list)
        self.list.itemActivated.connect(self._ask)
        self.list.itemClicked.connect(self._ask)
        self._findings: tuple[Finding, ...] = ()
        self._reference: tuple[Finding, ...] | None = None
        self._shown: tuple[object, ...] | None = None
        self.hide()

    def show_findings(self, findings: tuple[Finding, ...]) -> None:
        """Replace the sentences."""
        self._findings = findings
        ordered = sorted(findings, key=lambda f: f.severity is not Severity.STOP)
        fresh, gone = compared(ordered, self._reference)
        asked = (tuple(ordered), fresh, gone)
        if asked == self._shown:
            return
        self._shown = asked
        self.list.clear()
        for k, finding in enumerate(ordered):
            # A refusal says itself what is allowed; other sentences leave it to this line.
            allowed = finding.allowed if finding.allowed not in finding.message else ""
            nearest = finding.nearest if finding.nearest not in finding.message else ""
            extra = "  " + tr(f"Allowed: {allowed}.") if allowed else ""
            extra += "  " + tr(f"Nearest: {nearest}.") if nearest else ""
            self._add(SHAPES[finding.severity], tr("new") if k in fresh else "", finding, extra)
        for finding in gone:
            item = self._add("□" if finding.severity is Severity.STOP else "△", tr("gone since the reference"), finding, "")
            item.setForeground(QBrush(QColor(palette().faint)))
            item.setData(Qt.ItemDataRole.UserRole, None)  # there is nothing to go to
        count = len(ordered) + len(gone)
        self._fit()
        self.setVisible(bool(count))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """A narrower strip needs more lines for the same sentences."""
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():
            self._fit()

    def _fit(self) -> None:
        """Take the height of the first sentences, whole ones as far as there is room; the rest is scrolled to."""
        metrics, beside = self.list.fontMetrics(), 2 * MARGIN + self.list.verticalScrollBar().sizeHint().width()
        room = QRect(0, 0, max(self.width() - beside, 100), 10_000)
        said = [self.list.item(k).text() for k in range(min(self.list.count(), SHOWN))]
        tall = sum(metrics.boundingRect(room, Qt.TextFlag.TextWordWrap, text).height() + 2 for text in said)
        self.setFixedHeight(min(tall, LINES * metrics.lineSpacing()) + 8 if said else 0)

    def _add(self, shape: str, word: str, finding: Finding, extra: str) -> QListWidgetItem:
        said = f"{tr(finding.severity.value)}, {word}" if word else tr(finding.severity.value)
        item = QListWidgetItem(f"{shape}  {said}   {typeset(told_of(finding, group=True))}{extra}")
        item.setData(Qt.ItemDataRole.UserRole, finding)
        self.list.addItem(item)
        return item

    def set_reference(self, stand: Stand | None) -> None:
        """Compare with what there is to say about ``stand`` from now on."""
        self._reference = stand.findings if stand is not None else None
        self.show_findings(self._findings)

    def recolour(self) -> None:
        """Take the colours of the present palette."""
        self._shown = None
        self.show_findings(self._findings)

    def _ask(self, item: QListWidgetItem) -> None:
        finding = item.data(Qt.ItemDataRole.UserRole)
        if finding is not None:
            self.asked.emit(finding)


def _key(finding: Finding) -> Key:
    """What makes a finding the same while its numbers change."""
    return finding.code, finding.field, finding.member


def compared(
    findings: list[Finding], reference: tuple[Finding, ...] | None
) -> tuple[frozenset[int], tuple[Finding, ...]]:
    """Return which findings, by their place, the reference has not, and those that only the reference has.

    What is said of the brief's own text belongs to no stand: it is neither new nor gone. While something stops the
    stand the rest of it is not known, so nothing counts as gone.
    """
    if reference is None:
        return frozenset(), ()
    had = Counter(_key(f) for f in reference)
    fresh = set()
    for k, finding in enumerate(findings):
        had[_key(finding)] -= 1
        if had[_key(finding)] < 0 and not finding.code.startswith("brief."):
            fresh.add(k)
    gone: list[Finding] = []
    for finding in () if any(f.severity is Severity.STOP for f in findings) else reference:
        if had[_key(finding)] > 0:
            had[_key(finding)] -= 1
            gone.append(finding)
    return frozenset(fresh), tuple(gone)

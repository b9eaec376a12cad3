"""One row of the settings: a key of the brief with its label, its editor, and whether anybody gave it."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import Qt
from PySide6.QtGui import QFont, QFontMetrics
from PySide6.QtWidgets import QGridLayout, QLabel, QToolButton, QWidget

from app.helping import key_tip
from app.inputs.editors import editor_for
from app.inputs.fields import GROUPS, Key, keys, resolved, told_of
from app.words import tr
from framecore.brief import default_for
from framecore.errors import Finding, Severity

if TYPE_CHECKING:
    from app.document import Document
    from framecore.brief import Brief, BriefSource


LEAST, MOST = 120, 190  # px that labels may take


def label_width(font: QFont) -> int:
    """Return what the longest single word among the labels takes: a language with long words needs more than English."""
    return _width(font.toString())


@cache
def _width(font: str) -> int:
    described = QFont()
    described.fromString(font)
    metrics = QFontMetrics(described)
    words = {word for key in keys() for word in tr(key.label).replace("-", "- ").split()}
    return min(max(LEAST, *(metrics.horizontalAdvance(w) + 2 for w in words)), MOST)


class Row(QWidget):
    """One key: label, editor, "typical" with a way back to it, and the sentence when something is wrong.

    Parameters
    ----------
    editor : in place of the usual one of the key's kind
    """

    def __init__(self, key: Key, document: Document, editor: Any = None) -> None:
        super().__init__()
        self.key = key
        self._document = document
        label = QLabel(tr(key.label))
        label.setWordWrap(True)
        label.setObjectName("label")
        label.setFixedWidth(label_width(label.font()))
        self.label = label
        self.editor = editor or editor_for(key)
        tip = key_tip(key.path, key.kind.help)
        self.editor.setToolTip(tip)
        label.setToolTip(tip)
        label.setBuddy(self.editor)
        self.mark = QToolButton()
        self.mark.setObjectName("typical")
        metrics = self.mark.fontMetrics()
        self.mark.setFixedWidth(max(metrics.horizontalAdvance(tr(w)) for w in ("typical", "reset")) + 16)
        self.mark.setAutoRaise(True)
        self.mark.clicked.connect(self._reset)
        self.finding = QLabel()
        self.finding.setObjectName("finding")
        self.finding.setWordWrap(True)
        self.finding.hide()
        grid = QGridLayout(self)
        grid.setContentsMargins(14, 1, 6, 1)
        grid.setHorizontalSpacing(8)
        grid.setVerticalSpacing(2)
        grid.addWidget(label, 0, 0)
        grid.addWidget(self.editor, 0, 1)
        grid.addWidget(self.mark, 0, 2)
        grid.addWidget(self.finding, 1, 0, 1, 3)
        grid.setColumnStretch(1, 1)
        self.editor.typed.connect(self._typed)
        if hasattr(self.editor, "refused"):
            self.editor.refused.connect(self._refused)
        self._seen: tuple[Any, bool, str] | None = None
        # Of the last brief that gave a stand: what was given, kind of machine, units, and what came of it.
        self._made: tuple[Any, str, str, Any] | None = None
        self._told: Finding | None = None  # what stands under the field
        self._doubt: Finding | None = None  # what stands in the field could be meant in two ways
        self.words = f"{GROUPS[key.group]} {key.label} {key.path} {key.kind.help}".lower()

    def _typed(self, value: Any) -> None:
        self._document.edit(self.key.path, value, f"{self.key.label.lower()}")
        # Also when nothing changed: an emptied field shows its typical value again.
        self._seen, self._doubt = None, None
        self.refresh()

    def _refused(self, sentence: str) -> None:
        self._doubt = Finding(code="typed", message=sentence, field=self.key.path)
        self.show_finding(None)

    def _reset(self) -> None:
        self._document.edit(self.key.path, None, f"typical {self.key.label.lower()}")

    def refresh(self) -> None:
        """Show what the brief says now."""
        source = self._document.source
        self.show_brief(source, self._document.reading.brief, str(source.value("units") or "metric"))

    def show_brief(self, source: BriefSource, brief: Brief | None, units: str) -> None:
        """Show what a brief says: as typed, resolved (None where it gives no stand), and its units."""
        value = source.value(self.key.path)
        typical = value is None
        if typical or self.editor.shows_resolved:
            value = self._made_of(value, source, brief, units)
        if (value, typical, units) == self._seen:
            return
        self._seen, self._doubt = (value, typical, units), None
        if hasattr(self.editor, "set_units"):
            self.editor.set_units(units)
        self.editor.show_value(value, typical)
        self.mark.setText(tr("typical" if typical else "reset"))
        self.mark.setEnabled(not typical)
        self.mark.setToolTip(
            tr("Nobody gave this value; it is typical for the machine."
            if typical
            else "Back to the typical value")
        )
        if self.property("typical") != typical:
            for widget in (self, self.editor, *self.editor.findChildren(QWidget)):
                widget.setProperty("typical", typical)
                if widget.testAttribute(Qt.WidgetAttribute.WA_WState_Polished):  # else it will be when it is first shown
                    widget.style().unpolish(widget)
                    widget.style().polish(widget)

    def _made_of(self, value: Any, source: BriefSource, brief: Brief | None, units: str) -> Any:
        """What the brief makes of ``value``; while it gives no stand what it made of it last, or else what is typical."""
        if brief is None:
            given = source.value("machine.kind")
            kind = given if isinstance(given, str) else "lathe"
            if self._made is not None and self._made[:3] == (value, kind, units):
                return self._made[3]
            if value is not None or self.editor.shows_resolved:
                return value
            layout = source.value("frame.layout")
            made = default_for(self.key.path, kind, layout if isinstance(layout, str) else None, units)
        else:
            made = resolved(brief, self.key.path)
        if made is None and self.key.kind.word:
            made = self.key.kind.word
        if brief is not None:
            self._made = (value, brief.machine.kind, units, made)
        return made

    @property
    def told_stop(self) -> bool:
        """Whether what stands in the field gives no stand."""
        return self._told is not None and self._told.severity is Severity.STOP

    def show_finding(self, finding: Finding | None) -> None:
        """Put the sentence under the field, or take it away; one about what is being typed comes first."""
        finding = self._doubt or finding
        if finding == self._told:
            return
        self._told = finding
        if finding is None:
            self.finding.hide()
            return
        shape = "■" if finding.severity is Severity.STOP else "▲"
        self.finding.setText(f"{shape} {tr(finding.severity.value)}: {told_of(finding)}")
        self.finding.setProperty("severity", finding.severity.value)
        self.finding.style().unpolish(self.finding)
        self.finding.style().polish(self.finding)
        self.finding.show()

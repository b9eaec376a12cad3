"""The left side: every key of the brief, grouped as the brief is."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtWidgets import (
    QHBoxLayout,
    QLineEdit,
    QScrollArea,
    QSizePolicy,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from app.inputs.fields import GROUPS, Key, keys
from app.inputs.row import Row
from app.words import tr
from framecore.errors import Finding, Severity

if TYPE_CHECKING:
    from app.document import Document

OPEN_AT_FIRST = ("", "machine", "operator", "frame", "frame.sections")


class Group(QWidget):
    """A heading that folds its rows away."""

    def __init__(self, title: str, opened: bool) -> None:
        super().__init__()
        self.head = QToolButton()
        self.head.setObjectName("group")
        self.head.setText(tr(title))
        self.head.setCheckable(True)
        self.head.setChecked(opened)
        self.head.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextBesideIcon)
        self.head.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.head.toggled.connect(self._fold)
        self.body = QWidget()
        self.column = QVBoxLayout(self.body)
        self.column.setContentsMargins(0, 2, 0, 8)
        self.column.setSpacing(3)
        page = QVBoxLayout(self)
        page.setContentsMargins(0, 0, 0, 0)
        page.setSpacing(0)
        line = QHBoxLayout()
        line.addWidget(self.head, 1)
        page.addLayout(line)
        page.addWidget(self.body)
        self.rows: list[Row] = []
        self._fold(opened)

    def add(self, row: Row) -> None:
        """Append a row."""
        self.rows.append(row)
        self.column.addWidget(row)

    def _fold(self, opened: bool) -> None:
        self.head.setArrowType(Qt.ArrowType.DownArrow if opened else Qt.ArrowType.RightArrow)
        self.body.setVisible(opened)

    def filter(self, wanted: str) -> None:
        """Show the rows that contain ``wanted``; all of them when it is empty."""
        hits = [all(w in row.words for w in wanted.split()) for row in self.rows]
        for row, hit in zip(self.rows, hits, strict=True):
            row.setVisible(hit)
        self.setVisible(any(hits))
        self.body.setVisible(self.head.isChecked() if not wanted else any(hits))


class InputsPanel(QWidget):
    """All groups with a filter above them.

    Signals
    -------
    asked(path) : the maker stands in the row of that key
    """

    asked = Signal(str)

    def __init__(self, document: Document, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("inputs")
        self._document = document
        self.search = QLineEdit()
        self.search.setPlaceholderText(tr("Find a setting"))
        self.search.setClearButtonEnabled(True)
        self.search.setAccessibleName(tr("Find a setting"))
        self.rows: dict[str, Row] = {}
        self.groups: dict[str, Group] = {}
        column = QVBoxLayout()
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(2)
        self._findings: dict[str, Finding] = {}
        self._waiting: dict[str, list[Key]] = {}
        for key in keys():
            if key.group not in self.groups:
                group = self.groups[key.group] = Group(GROUPS[key.group], key.group in OPEN_AT_FIRST)
                group.head.toggled.connect(lambda _=False, name=key.group: self._fill(name))
                column.addWidget(group)
            self._waiting.setdefault(key.group, []).append(key)
        for name in OPEN_AT_FIRST:
            self._fill(name)
        # The folded groups fill while the window is being looked at, so that it is there sooner.
        self._later = QTimer(self)
        self._later.setInterval(0)
        self._later.timeout.connect(self._fill_next)
        self._later.start()
        column.addStretch(1)
        inner = QWidget()
        inner.setObjectName("plain")
        inner.setLayout(column)
        self.scroll = QScrollArea()
        self.scroll.setWidgetResizable(True)
        self.scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.scroll.setWidget(inner)
        self.scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)  # the rows inside take the keys
        head = QHBoxLayout()
        head.setContentsMargins(12, 10, 12, 6)
        head.addWidget(self.search)
        page = QVBoxLayout(self)
        page.setContentsMargins(0, 0, 0, 0)
        page.setSpacing(0)
        page.addLayout(head)
        page.addWidget(self.scroll, 1)
        self.search.textChanged.connect(self._filter)
        document.changed.connect(self.refresh)
        self.refresh()

    @property
    def waiting(self) -> bool:
        """Whether folded groups still have to get their rows."""
        return bool(self._waiting)

    def _fill(self, name: str) -> None:
        for key in self._waiting.pop(name, ()):
            row = self.rows[key.path] = Row(key, self._document)
            self.groups[name].add(row)
            row.refresh()
            row.show_finding(self._findings.get(key.path))

    def _fill_next(self) -> None:
        if self._waiting:
            self._fill(next(iter(self._waiting)))
        else:
            self._later.stop()

    def complete(self) -> None:
        """Fill every group now."""
        for name in list(self._waiting):
            self._fill(name)

    def _filter(self, text: str) -> None:
        self.complete()
        for group in self.groups.values():
            group.filter(text.strip().lower())

    def refresh(self) -> None:
        """Show the present brief."""
        source, brief = self._document.source, self._document.reading.brief
        units = str(source.value("units") or "metric")
        for row in self.rows.values():
            row.show_brief(source, brief, units)

    def show_findings(self, findings: tuple[Finding, ...]) -> None:
        """Put each sentence under its field."""
        first: dict[str, Finding] = {}
        for finding in findings:
            if finding.field:
                held = first.get(finding.field)
                if held is None or (held.severity is Severity.LOOK and finding.severity is Severity.STOP):
                    first[finding.field] = finding
        self._findings = first
        for path, row in self.rows.items():
            row.show_finding(first.get(path))

    def go_to(self, path: str) -> None:
        """Bring the row of ``path`` into sight and give it the keyboard."""
        self.complete()
        row = self.rows.get(path)
        if row is None:
            return
        self.search.clear()
        self.groups[row.key.group].head.setChecked(True)
        self.scroll.ensureWidgetVisible(row)
        row.editor.setFocus()

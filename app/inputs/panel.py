"""The left side: every key of the brief, grouped as the brief is."""

from __future__ import annotations

from collections.abc import Iterator
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
SEEN_AT_FIRST = 30  # rows that a window of the usual size has room for
AT_ONCE = 6  # rows of one step afterwards


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
        self._rows: dict[str, Row] = {}
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
            self._fill(name, SEEN_AT_FIRST - len(self._rows))
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
        """Whether groups still have to get rows."""
        return bool(self._waiting)

    @property
    def rows(self) -> dict[str, Row]:
        """The rows by path: all of the groups that are open, and of the others those that are there already."""
        for name in [n for n in self._waiting if self.groups[n].head.isChecked()]:
            self._fill(name)
        return self._rows

    def _fill(self, name: str, most: int | None = None) -> None:
        """Give a group its rows, ``most`` of them at a time."""
        group, keys = self.groups[name], self._waiting.pop(name, [])
        for key in keys[:most]:
            row = self._rows[key.path] = Row(key, self._document)
            row.refresh()
            row.show_finding(self._findings.get(key.path))
            before = group.rows[-1].mark if group.rows else group.head
            group.add(row)
            if before.window() is self.window():
                # What comes to a window late is last for the tab key; its turn is after the row above.
                self.setTabOrder(before, row.editor)
                self.setTabOrder(row.editor, row.mark)
        if most is not None and keys[most:]:
            self._waiting[name] = keys[most:]

    def fill_rest(self) -> Iterator[None]:
        """Give the groups the rows they wait for, a few a step; open groups first, as a tall screen shows them."""
        inner = self.scroll.widget()
        # Layouts make room one after another: rows that are in sight would be painted squeezed meanwhile.
        inner.setUpdatesEnabled(False)
        while waits := [name for name in self._waiting if self.groups[name].head.isChecked()]:
            self._fill(waits[0], AT_ONCE)
            yield
        QTimer.singleShot(0, inner, lambda: inner.setUpdatesEnabled(True))
        while self._waiting:
            self._fill(next(iter(self._waiting)), AT_ONCE)
            yield

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
        for row in self._rows.values():
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
        for path, row in self._rows.items():
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

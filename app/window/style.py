"""What the window adds to the style sheet of the theme: rules for its own parts."""

from __future__ import annotations

from app.theme import palette


def window_style() -> str:
    """Return the rules in the colours of the present palette."""
    c = palette()
    return f"""
    QWidget#inputs, QWidget#plain, QWidget#figures {{ background: {c.panel}; }}
    QScrollArea {{ border: none; background: {c.panel}; }}
    QLabel#heading {{ color: {c.ink}; font-weight: 600; }}
    QLabel#unit {{ color: {c.soft}; }}
    QLabel#finding {{ color: {c.look}; padding: 0 2px 4px 2px; }}
    QLabel#finding[severity="stop"] {{ color: {c.stop}; }}
    QWidget#fileBanner {{ background: {c.lit}; border-bottom: 1px solid {c.line}; }}
    QLabel#partName {{
        background: {c.paper}; color: {c.ink}; border: 1px solid {c.line}; border-radius: 2px; padding: 1px 5px;
    }}
    QLabel#banner {{ background: {c.lit}; color: {c.ink}; }}
    QToolButton#group {{
        border: none; border-top: 1px solid {c.line}; padding: 7px 10px; text-align: left;
        font-weight: 600; color: {c.ink}; background: transparent;
    }}
    QToolButton#group:hover, QToolButton#group:focus {{ background: {c.hover}; }}
    QPushButton#verdicts {{ border: none; background: transparent; padding: 8px 14px; font-weight: 600; text-align: left; }}
    QPushButton#verdicts:hover:enabled, QPushButton#verdicts:focus {{ background: {c.hover}; }}
    QToolButton#typical {{ border: none; background: transparent; color: {c.accent}; padding: 2px; }}
    QToolButton#typical:hover:enabled, QToolButton#typical:focus {{ text-decoration: underline; }}
    QToolButton#typical:disabled {{ color: {c.faint}; font-style: italic; }}
    QLineEdit[typical="true"], QComboBox[typical="true"], QPushButton[typical="true"],
    QSpinBox[typical="true"] {{ color: {c.faint}; }}
    QWidget#findings QListWidget {{ border: none; border-top: 1px solid {c.line}; background: {c.paper}; padding: 2px 8px; }}
    QTableWidget {{ border: 1px solid {c.paper}; background: {c.paper}; }}
    QTextBrowser {{ border: 1px solid {c.panel}; background: {c.panel}; padding: 0 10px; }}
    QTableWidget:focus, QTextBrowser:focus, QWidget#findings QListWidget:focus {{ border: 1px solid {c.accent}; }}
    QTableWidget::item:selected {{ background: {c.lit}; color: {c.ink}; }}
    QHeaderView, QTableCornerButton::section {{ background: {c.paper}; border: none; }}
    QHeaderView::section {{
        background: {c.paper}; color: {c.soft}; border: none;
        border-bottom: 1px solid {c.line}; padding: 3px 6px;
    }}
    QSplitter::handle {{ background: {c.line}; }}
    """

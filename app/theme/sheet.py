"""The style sheet every part of the window shares."""

from __future__ import annotations

from functools import cache
from importlib import resources

from app.theme.palette import palette


@cache
def _icon(name: str) -> str:
    """Where a small picture lies, as a style sheet writes it; one grey that is seen on both papers."""
    return str(resources.files("resources.icons").joinpath(f"{name}.svg")).replace("\\", "/")


def style_sheet() -> str:
    """Return the rules in the colours in use."""
    c = palette()
    return f"""
    QWidget {{ color: {c.ink}; background: {c.panel}; selection-background-color: {c.accent};
        selection-color: {c.paper}; }}
    QLabel, QCheckBox, QRadioButton {{ background: transparent; }}
    QToolTip {{ background: {c.paper}; color: {c.ink}; border: 1px solid {c.line}; padding: 4px; }}
    QMenuBar, QStatusBar, QToolBar {{ background: {c.panel}; border: none; }}
    QMenuBar::item {{ padding: 4px 10px; background: transparent; }}
    QMenuBar::item:selected, QMenu::item:selected {{ background: {c.lit}; color: {c.ink}; }}
    QMenu {{ background: {c.paper}; border: 1px solid {c.line}; }}
    QMenu::item {{ padding: 5px 26px; }}
    QMenu::item:disabled {{ color: {c.faint}; }}
    QMenu::separator {{ height: 1px; background: {c.line}; margin: 4px 8px; }}
    QLineEdit, QComboBox, QAbstractSpinBox, QPlainTextEdit {{
        background: {c.paper}; border: 1px solid {c.line}; border-radius: 2px; padding: 3px 6px; }}
    QLineEdit, QPlainTextEdit, QTextBrowser {{ placeholder-text-color: {c.faint}; }}
    QLineEdit:focus, QComboBox:focus, QAbstractSpinBox:focus, QPlainTextEdit:focus {{
        border: 1px solid {c.accent}; }}
    QLineEdit:disabled, QComboBox:disabled, QAbstractSpinBox:disabled {{ color: {c.faint}; }}
    QComboBox {{ padding-right: 2px; }}
    QAbstractSpinBox {{ padding-right: 20px; }}
    QComboBox::drop-down {{ border: none; width: 20px; subcontrol-origin: padding; subcontrol-position: center right; }}
    QAbstractSpinBox::up-button, QAbstractSpinBox::down-button {{ border: none; width: 18px; background: transparent;
        subcontrol-origin: padding; subcontrol-position: center right; height: 10px; }}
    QAbstractSpinBox::up-button {{ subcontrol-position: top right; margin-top: 2px; }}
    QAbstractSpinBox::down-button {{ subcontrol-position: bottom right; margin-bottom: 2px; }}
    QComboBox::down-arrow, QAbstractSpinBox::down-arrow {{ image: url("{_icon('down')}"); width: 12px; height: 12px; }}
    QAbstractSpinBox::up-arrow {{ image: url("{_icon('up')}"); width: 12px; height: 12px; }}
    QComboBox QAbstractItemView {{ background: {c.paper}; border: 1px solid {c.line}; }}
    QPushButton {{ background: {c.paper}; border: 1px solid {c.line}; border-radius: 2px; padding: 4px 12px; }}
    QDialogButtonBox, QMessageBox {{ dialogbuttonbox-buttons-have-icons: 0; }}
    QPushButton:hover {{ background: {c.hover}; }}
    QPushButton:focus, QPushButton:default {{ border: 1px solid {c.accent}; }}
    QPushButton:pressed, QPushButton:checked {{ background: {c.lit}; }}
    QPushButton:disabled {{ color: {c.faint}; }}
    QCheckBox::indicator, QTableView::indicator {{
        width: 11px; height: 11px; border: 1px solid {c.soft}; border-radius: 2px; background: {c.paper}; }}
    QCheckBox::indicator:checked, QTableView::indicator:checked {{
        background: {c.accent}; border: 1px solid {c.accent}; }}
    QCheckBox:focus, QRadioButton:focus {{ color: {c.accent}; text-decoration: underline; }}
    QToolButton#pops {{ background: {c.paper}; border: 1px solid {c.line}; border-radius: 2px; padding: 4px 22px 4px 10px; }}
    QToolButton#pops:hover {{ background: {c.hover}; }}
    QToolButton#pops:focus {{ border: 1px solid {c.accent}; }}
    QToolButton#pops::menu-indicator {{ image: url("{_icon('down')}"); width: 12px; height: 12px; right: 5px;
        subcontrol-origin: padding; subcontrol-position: center right; }}
    QToolBar QToolButton {{ border: 1px solid transparent; border-radius: 2px; padding: 3px 5px; }}
    QToolBar QToolButton#qt_toolbar_ext_button {{ padding: 0; image: url("{_icon('down')}"); qproperty-icon: none; }}
    QToolBar QToolButton:hover {{ background: {c.hover}; }}
    QToolBar QToolButton:checked {{ background: {c.lit}; border-color: {c.accent}; }}
    QToolBar QToolButton:focus, QTabBar::tab:focus {{ border-color: {c.accent}; }}
    QToolBar QToolButton:disabled {{ color: {c.faint}; }}
    QToolBar::separator {{ background: {c.line}; width: 1px; margin: 5px 6px; }}
    QTabWidget::pane {{ border: 1px solid {c.line}; }}
    QTabBar::tab {{ background: transparent; border: 1px solid transparent; padding: 5px 12px; color: {c.soft}; }}
    QTabBar::tab:selected {{ color: {c.ink}; border-bottom: 2px solid {c.accent}; }}
    QTabBar::tab:hover {{ background: {c.hover}; }}
    QSlider::handle:focus {{ border: 2px solid {c.ink}; }}
    QCheckBox::indicator:disabled {{ border: 1px solid {c.line}; }}
    QCheckBox:disabled {{ color: {c.faint}; }}
    QFrame#gripBar, QFrame#typeIn {{ background: {c.panel}; border: 1px solid {c.line}; border-radius: 3px; }}
    QListWidget, QTableWidget, QTextBrowser {{ background: {c.paper}; }}
    QListWidget::item:selected {{ background: {c.lit}; color: {c.ink}; }}
    QScrollBar {{ background: {c.panel}; border: none; }}
    QScrollBar:vertical {{ width: 11px; }}
    QScrollBar:horizontal {{ height: 11px; }}
    QScrollBar::handle {{ background: {c.line}; border-radius: 4px; margin: 2px; min-height: 24px; min-width: 24px; }}
    QScrollBar::handle:hover {{ background: {c.faint}; }}
    QScrollBar::add-line, QScrollBar::sub-line {{ width: 0; height: 0; }}
    QScrollBar::add-page, QScrollBar::sub-page {{ background: transparent; }}
    """

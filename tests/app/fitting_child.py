"""Opens the window and the dialogs at the scale of the environment and prints what does not fit; run by test_fitting.py."""

from __future__ import annotations

import json
import sys
from pathlib import Path

from PySide6.QtCore import QEvent, QRect, QSettings
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractSpinBox,
    QApplication,
    QComboBox,
    QLabel,
    QLineEdit,
    QScrollArea,
    QSplitterHandle,
    QStyle,
    QStyleOptionFrame,
    QToolBar,
    QToolButton,
    QWidget,
)

STRIP = "the strip does not hold all its actions"
SLACK = 1  # of rounding at odd scales, px


def named(widget: QWidget) -> str:
    text = widget.text() if hasattr(widget, "text") and callable(widget.text) else ""
    name = widget.objectName() or widget.accessibleName()
    return f"{type(widget).__name__} {name} '{text[:40]}' in {type(widget.parent()).__name__}"


def seen(root: QWidget) -> list[QWidget]:
    """Widgets that are shown, without what the toolkit builds inside its own."""
    out = []
    for widget in root.findChildren(QWidget):
        inside = isinstance(widget.parentWidget(), (QComboBox, QAbstractSpinBox))
        if widget.isVisible() and not inside and not widget.objectName().startswith("qt_"):
            out.append(widget)
    return out


def cut(widget: QWidget) -> str:
    """Why the words of a widget are cut off, "" where they are not."""
    if isinstance(widget, QLabel) and widget.pixmap().isNull():
        if widget.wordWrap():
            need = widget.heightForWidth(widget.width())
            return "too low" if need > widget.height() + SLACK else ""
        return "too narrow" if widget.sizeHint().width() > widget.width() + SLACK else ""
    if isinstance(widget, (QToolButton, QAbstractButton)) and widget.text():
        hint = widget.minimumSizeHint() if widget.minimumSizeHint().isValid() else widget.sizeHint()
        if isinstance(widget, QToolButton):
            hint = widget.sizeHint()
        if hint.width() > widget.width() + SLACK or hint.height() > widget.height() + SLACK:
            return f"needs {hint.width()}x{hint.height()}, has {widget.width()}x{widget.height()}"
        return ""
    if isinstance(widget, QLineEdit) and widget.property("numeric"):
        option = QStyleOptionFrame()
        widget.initStyleOption(option)
        room = widget.style().subElementRect(QStyle.SubElement.SE_LineEditContents, option, widget).width() - 4
        need = widget.fontMetrics().horizontalAdvance(widget.text() or widget.placeholderText())
        return f"text needs {need}, has {room}" if need > room + SLACK else ""
    if isinstance(widget, QComboBox) and not widget.isEditable():
        option = QStyleOptionFrame()
        return "" if widget.height() + SLACK >= widget.minimumSizeHint().height() else "too low"
    return ""


def scrolled(widget: QWidget) -> bool:
    """Whether a widget lies in something that scrolls, where it may reach out of sight."""
    parent = widget.parentWidget()
    while parent is not None:
        if isinstance(parent.parentWidget(), QScrollArea):
            return True
        parent = parent.parentWidget()
    return False


def problems(root: QWidget, overlays: tuple[QWidget, ...] = ()) -> list[str]:
    """Words that are cut off, widgets over each other, widgets out of their window."""
    found = []
    whole = QRect(root.mapToGlobal(root.rect().topLeft()), root.size())
    for widget in seen(root):
        why = cut(widget)
        if why:
            found.append(f"{named(widget)}: {why}")
        here = QRect(widget.mapToGlobal(widget.rect().topLeft()), widget.size())
        if not scrolled(widget) and not whole.adjusted(-SLACK, -SLACK, SLACK, SLACK).contains(here) and not widget.isWindow():
            found.append(f"{named(widget)}: out of the window by {here.getRect()} in {whole.getRect()}")
    for parent in [root, *seen(root)]:
        if parent.layout() is None or parent in overlays:
            continue
        inside = [parent.layout().itemAt(k).widget() for k in range(parent.layout().count())]
        shown = [w for w in inside if w is not None and w.isVisible() and not isinstance(w, QSplitterHandle)]
        for k, one in enumerate(shown):
            for other in shown[k + 1 :]:
                both = one.geometry().intersected(other.geometry())
                if both.width() > SLACK and both.height() > SLACK:
                    found.append(f"{named(one)} over {named(other)}")
    for bar in root.findChildren(QToolBar):
        more = bar.findChild(QToolButton, "qt_toolbar_ext_button")
        if more is not None and more.isVisible():
            found.append(STRIP)
    return sorted(set(found))


def settle(app: QApplication) -> None:
    for _ in range(6):
        app.processEvents()
        QApplication.sendPostedEvents(None, QEvent.Type.LayoutRequest)


def main(folder: Path) -> None:
    from app.cli.window import sample_source
    from app.document import Document, Settings
    from app.window import MainWindow
    from tests.app.test_access import dialogs

    app = QApplication([])
    app.setStyle("Fusion")
    store = QSettings(str(folder / "s.ini"), QSettings.Format.IniFormat)
    store.setValue("kept", str(folder / "kept"))
    window = MainWindow(Document(sample_source()), Settings(store))
    window.show()
    QTest.qWaitForWindowExposed(window)
    window.inputs.complete()
    for group in window.inputs.groups.values():
        group.head.setChecked(True)
    out: dict[str, list[str]] = {}
    least = window.minimumSizeHint()
    out["least"] = [f"{least.width()}x{least.height()}"]
    for dark in (False, True):
        window.dark_action.setChecked(dark)
        for width, height in ((1400, 900), (1366, 700), (least.width(), max(least.height(), 576))):
            window.resize(width, height)
            settle(app)
            found = problems(window, (window.view,))
            # The narrowest window holds its strip by a way to the rest of it.
            out[f"window {width}x{height} dark={dark}"] = [f for f in found if f != STRIP or width >= 1366]
        for dialog in dialogs(window):
            dialog.show()
            settle(app)
            name = f"{type(dialog).__name__} {dialog.windowTitle()} dark={dark}"
            out[name] = problems(dialog)
            size = dialog.size()
            room = dialog.screen().availableGeometry().size()
            # The dialog of levelling and that of the sheets take 840 x 540 at the least.
            if size.width() > max(room.width(), 840) or size.height() > max(room.height(), 540):
                out[name].append(f"opens at {size.width()}x{size.height()}, larger than the screen")
            dialog.close()
    window.dark_action.setChecked(False)
    for width in (910, 700):
        window.places.as_at_first()
        window.places.fit_into(width)
        settle(app)  # the window learns its new least size
        window.resize(width, 450)
        settle(app)
        found = problems(window, (window.view,))
        out[f"window {width}x450"] = [f for f in found if f != STRIP]
        if window.width() > width or window.height() > 450:
            out[f"window {width}x450"].append(f"is {window.width()}x{window.height()}")
    print(json.dumps(out))
    window.document.history.setClean()
    window.close()


if __name__ == "__main__":
    main(Path(sys.argv[1]))

"""A seeded monkey at the real window: it clicks, drags, types, opens, saves and closes, by mouse and keyboard events only.

``python -m tests.app.monkey SEED SECONDS FOLDER`` works in FOLDER alone and prints what it met as one line of JSON; each
round's is added to ``rounds.jsonl`` there.
"""

from __future__ import annotations

import faulthandler
import gc
import json
import os
import random
import shutil
import sys
import threading
import time
import traceback
import weakref
from collections import Counter, deque
from pathlib import Path

import shiboken6
from PySide6.QtCore import QEvent, QPoint, QSettings, Qt, QTimer, qInstallMessageHandler
from PySide6.QtGui import QAction, QKeyEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QAbstractButton,
    QApplication,
    QComboBox,
    QFileDialog,
    QLineEdit,
    QMenu,
    QMenuBar,
    QTabBar,
    QTableWidget,
    QWidget,
)

from app.dialogs.fault import FaultHub
from app.document import Document, Settings
from app.document.slot import Slot
from app.live.memory import Collector, settle
from app.view3d import HeightSlider, StandView
from app.window import MainWindow
from app.window.main_window import Questions
from framecore.brief import load_source
from tests.app.strokes import clicked, struck, usable

STALL_S = 3.0  # of the window's own thread in one stroke; processor time, so that a busy machine is no stall
ROUND_S = 60.0
SAMPLES = sorted(Path(__file__).parents[2].joinpath("samples").glob("*.toml"))
WORDS = (
    "", "0", "-1", "1e308", "nan", "inf", "3", "12.5", "29 1/2 in", "5'2\"", "0.75 m", "120", "800", "950", "1e-9", "999999",
    "lathe", "SHS 50x50x3", "SHS 40x40x3", "L 50x50x5", "M12", "S355", "no such thing", "../../x", "=1+1", "🔧", "a\tb",
    '"', "[1, 2]", "1, 2, 3", "\u202eabc", "ß" * 40, "x" * 300, "mass", "height", "holes",
)  # fmt: skip
BUTTONS = (Qt.MouseButton.LeftButton,) * 8 + (Qt.MouseButton.RightButton, Qt.MouseButton.MiddleButton)
HELD = (Qt.KeyboardModifier.NoModifier,) * 6 + (Qt.KeyboardModifier.ShiftModifier, Qt.KeyboardModifier.ControlModifier)
KEYS = (
    Qt.Key.Key_Tab, Qt.Key.Key_Backtab, Qt.Key.Key_Return, Qt.Key.Key_Escape, Qt.Key.Key_Space, Qt.Key.Key_Up, Qt.Key.Key_Down,
    Qt.Key.Key_Left, Qt.Key.Key_Right, Qt.Key.Key_Home, Qt.Key.Key_End, Qt.Key.Key_PageUp, Qt.Key.Key_PageDown,
    Qt.Key.Key_Delete, Qt.Key.Key_Backspace, Qt.Key.Key_Plus, Qt.Key.Key_Minus, Qt.Key.Key_F2, Qt.Key.Key_A, Qt.Key.Key_0,
)  # fmt: skip
# What a hand is drawn to; a click anywhere comes besides.
TARGETS = (QAbstractButton, QComboBox, QLineEdit, QTabBar, QMenuBar, QTableWidget, StandView, HeightSlider)


def resident_kb() -> int:
    """Memory of this process that is in use, kB."""
    return int(Path("/proc/self/statm").read_text().split()[1]) * os.sysconf("SC_PAGE_SIZE") // 1024


class Watch(threading.Thread):
    """Looks at the window's thread from beside it and writes down where it stood when a stroke took too long."""

    def __init__(self, name_of_stroke) -> None:
        super().__init__(daemon=True)
        self._main = threading.main_thread().ident
        self._clock = time.pthread_getcpuclockid(self._main)
        self._name = name_of_stroke
        self._begun, self._told, self._stroke = 0.0, True, 0
        self.stalls: list[str] = []
        self.longest = (0.0, "")

    def used(self) -> float:
        return time.clock_gettime(self._clock)

    def begin(self) -> None:
        self._begun, self._told = self.used(), False
        self._stroke += 1

    def end(self, name: str) -> None:
        self.longest = max(self.longest, (round(self.used() - self._begun, 2), name))
        self._told = True

    def run(self) -> None:
        while True:
            time.sleep(0.25)
            stroke = self._stroke
            if not self._told and self.used() - self._begun > STALL_S:
                frame = sys._current_frames().get(self._main)
                where = "".join(traceback.format_stack(frame, 40)[-14:])
                if stroke == self._stroke and not self._told:
                    self._told = True
                    self.stalls.append(f"{self._name()}\n{where}")


class Monkey:
    """Acts until its time is over; everything it does is drawn from the seed."""

    def __init__(self, seed: int, seconds: float, folder: Path) -> None:
        self.chance = random.Random(seed)
        self.seed, self.folder = seed, folder
        self.begun = time.monotonic()
        self.until = self.begun + seconds
        self.round_s = min(ROUND_S, seconds / 3)
        self.trail: deque[str] = deque(maxlen=40)
        self.did: Counter[str] = Counter()
        self.faults: list[str] = []
        self.samples: list[dict[str, int]] = []
        self.left: list[str] = []
        self.first: Counter[str] | None = None
        self.grown: list[tuple[str, int]] = []
        self.steps = self.packets = self.saved = 0
        self.window: MainWindow | None = None
        self._acting = False
        self._modal_at: QWidget | None = None
        self._waited = 0
        self._round_until = 0.0
        self._parked: tuple[Path, Path] | None = None
        self._soon = QTimer(singleShot=True)  # one for all strokes: each QTimer.singleShot to a method leaves a reference
        self._soon.timeout.connect(self.step)
        self.watch = Watch(lambda: self.trail[-1] if self.trail else "")
        self.work = folder / "work"
        self.work.mkdir(parents=True)
        for sample in SAMPLES:
            shutil.copy(sample, self.work)
        store = QSettings(str(folder / "settings.ini"), QSettings.Format.IniFormat)
        store.setValue("recovery", str(folder / "recovered.toml"))
        store.setValue("kept", str(folder / "kept"))
        self.settings = Settings(store)
        QFileDialog.getSaveFileName = staticmethod(lambda *_a, **_k: (self._new_path(), ""))
        QFileDialog.getOpenFileName = staticmethod(lambda *_a, **_k: (self._some_path(), ""))
        self.hub = FaultHub(lambda: self.window.rescue() if self.window else None, show=self._fault)
        qInstallMessageHandler(self._qt)
        settle()  # as the program does
        self.collector = Collector(QApplication.instance())

    # -- what goes wrong -----------------------------------------------------------------------------------

    def _fault(self, _saved: Path | None, report: str) -> None:
        self.faults.append(report + "\nafter\n  " + "\n  ".join(list(self.trail)[-12:]))

    def _qt(self, _kind: object, _about: object, text: str) -> None:
        # A window may have become smaller between aiming and striking; that is the monkey's own.
        if "occurs outside target window" not in text:
            self._fault(None, f"Qt: {text}")

    # -- files -----------------------------------------------------------------------------------------------

    def _briefs(self) -> list[Path]:
        return sorted(p for p in self.work.glob("*.toml") if p.is_file())

    def _some_path(self) -> str:
        files = self._briefs()
        odd = ["", str(self.work), str(self.work / "gone.toml"), str(self.work / "no" / "such.toml")]
        return self.chance.choice([*map(str, files), *odd])

    def _new_path(self) -> str:
        name = self.chance.choice(["a.toml", "b", "c.toml", "..x.toml", "ü ö.toml", "n" * 300, "no/such", "", "packet"])
        if name == "packet":
            name = f"packet-{self.chance.randrange(40)}"
        return str(self.work / name) if name else ""

    def _other_hand(self) -> str:
        """Somebody else does something to the files."""
        files = self._briefs()
        if self._parked is not None:
            here, there = self._parked
            self._parked = None
            if there.exists() and not here.exists():
                there.rename(here)
            return "files: put back"
        if not files:
            return "files: none"
        open_here = self.window.document.path if self.window else None
        path = open_here if open_here in files and self.chance.random() < 0.6 else self.chance.choice(files)
        what = self.chance.choice(("write", "damage", "take", "touch", "plant"))
        if what == "write":
            path.write_bytes(self.chance.choice(SAMPLES).read_bytes())
        elif what == "damage":
            text = bytearray(path.read_bytes())
            for _ in range(3):
                at = self.chance.randrange(len(text) + 1)
                text[at:at] = self.chance.choice((b"nan", b"[", b'"', b"\xff", b"-1", b"\n[frame]\n", b"= 3\n"))
            path.write_bytes(bytes(text))
        elif what == "take":
            self._parked = path, path.with_suffix(".away")
            path.rename(self._parked[1])
        elif what == "touch":
            os.utime(path)
        else:
            self._plant(path)
        return f"files: {what} {path.name}"

    def _plant(self, path: Path) -> None:
        """Leave kept work as a window does that was killed."""
        slot = Slot.create(self.folder / "kept")
        try:
            original = path.read_text("utf-8")
        except ValueError:
            original = ""
        edits = {"machine.mass": self.chance.randrange(10, 400)}
        slot.keep({"format": 1, "at": time.time(), "path": str(path), "opened": None, "original": original, "edits": edits})
        slot.release()

    # -- where to --------------------------------------------------------------------------------------------

    def _top(self) -> QWidget | None:
        popup = QApplication.activePopupWidget() or QApplication.activeModalWidget()
        if popup is not None:
            return popup
        tops = [w for w in QApplication.topLevelWidgets() if w.isVisible() and w.windowHandle() is not None]
        if not tops:
            return None
        return self.window if self.window in tops and self.chance.random() < 0.6 else self.chance.choice(tops)

    def _spot(self, top: QWidget) -> tuple[QPoint, str]:
        """A place in a window and what is there; half of the time something a hand is drawn to."""
        if self.chance.random() < 0.6:
            near = [
                w for w in top.findChildren(QWidget)
                if isinstance(w, TARGETS) and w.window() is top and not w.visibleRegion().isEmpty()
            ]  # fmt: skip
            if near:
                widget = self.chance.choice(near)
                box = widget.visibleRegion().boundingRect()
                at = box.topLeft() + QPoint(self.chance.randrange(box.width()), self.chance.randrange(box.height()))
                called = getattr(widget, "text", widget.accessibleName)
                name = called() if callable(called) else ""
                return widget.mapTo(top, at), f"{type(widget).__name__} {str(name)[:30]!r}"
        at = QPoint(self.chance.randrange(max(1, top.width())), self.chance.randrange(max(1, top.height())))
        return at, type(top.childAt(at)).__name__

    # -- strokes ---------------------------------------------------------------------------------------------

    def _click(self, top: QWidget) -> str:
        at, what = self._spot(top)
        handle, button, held = top.windowHandle(), self.chance.choice(BUTTONS), self.chance.choice(HELD)
        self.trail.append(f"click {button.name} {held.name} on {what} of {type(top).__name__} at {at.x()},{at.y()}")
        QTest.mouseMove(handle, at)
        if usable(handle):
            clicked(handle, button, held, at, 2 if self.chance.random() < 0.08 else 1)
        return "click"

    def _drag(self, top: QWidget) -> str:
        at, what = self._spot(top)
        handle, button, held = top.windowHandle(), self.chance.choice(BUTTONS), self.chance.choice(HELD)
        self.trail.append(f"drag {button.name} {held.name} from {what} of {type(top).__name__} at {at.x()},{at.y()}")
        QTest.mousePress(handle, button, held, at)
        for _ in range(self.chance.randrange(2, 12)):
            step = QPoint(self.chance.randrange(-60, 61), self.chance.randrange(-60, 61))
            if usable(handle):
                at = QPoint(min(max(at.x() + step.x(), 0), top.width() - 1), min(max(at.y() + step.y(), 0), top.height() - 1))
                QTest.mouseMove(handle, at)
        if usable(handle):
            QTest.mouseRelease(handle, button, held, at)
        return "drag"

    def _wheel(self, top: QWidget) -> str:
        at, what = self._spot(top)
        self.trail.append(f"wheel on {what} of {type(top).__name__}")
        QTest.wheelEvent(top.windowHandle(), at, QPoint(0, 120 * self.chance.choice((-6, -1, 1, 6))))
        return "wheel"

    def _type(self, top: QWidget) -> str:
        text = self.chance.choice(WORDS)
        handle = top.windowHandle()
        if not top.isActiveWindow():
            top.activateWindow()
        self.trail.append(f"type {text[:20]!r} into {type(top.focusWidget()).__name__} of {type(top).__name__}")
        if self.chance.random() < 0.6 and usable(handle):
            struck(handle, Qt.Key.Key_A, Qt.KeyboardModifier.ControlModifier)
        focus = top.focusWidget() if shiboken6.isValid(top) else None
        if focus is not None:
            for sign in text:
                # The test helper's own typing knows Latin signs only.
                for kind in (QEvent.Type.KeyPress, QEvent.Type.KeyRelease):
                    if shiboken6.isValid(focus):
                        QApplication.sendEvent(focus, QKeyEvent(kind, 0, HELD[0], sign))
        if self.chance.random() < 0.7 and usable(handle):
            struck(handle, self.chance.choice((Qt.Key.Key_Return, Qt.Key.Key_Tab)))
        return "type"

    def _key(self, top: QWidget) -> str:
        key, held = self.chance.choice(KEYS), self.chance.choice(HELD)
        self.trail.append(f"key {held.name} {key.name} in {type(top).__name__}")
        if usable(top.windowHandle()):
            struck(top.windowHandle(), key, held)
        return "key"

    def _undo(self, top: QWidget) -> str:
        keys = self.chance.choice((Qt.Key.Key_Z, Qt.Key.Key_Z, Qt.Key.Key_Y))
        self.trail.append(f"undo or redo in {type(top).__name__}")
        for _ in range(self.chance.randrange(1, 9)):
            if usable(top.windowHandle()):
                struck(top.windowHandle(), keys, Qt.KeyboardModifier.ControlModifier)
        return "undo"

    def _menu(self, top: QWidget) -> str:
        """A menu entry as the mouse chooses it; by its keys where it has some."""
        window = self.window
        if window is None or top is not window:
            return self._key(top)
        entries = [a for m in window.menuBar().actions() for a in (m.menu().actions() if m.menu() else ())]
        entries = [a for a in entries if not a.isSeparator() and a.menu() is None and a.isEnabled()]
        entry: QAction = self.chance.choice(entries)
        if entry.text() == "&Leave" and self.chance.random() < 0.8:
            return self._key(top)
        self.trail.append(f"menu {entry.text()}")
        keys = entry.shortcut()
        if not keys.isEmpty() and self.chance.random() < 0.5:
            pressed = keys[0]
            struck(window.windowHandle(), pressed.key(), pressed.keyboardModifiers())
            return "menu"
        menu = next(m.menu() for m in window.menuBar().actions() if m.menu() and entry in m.menu().actions())
        menu.popup(window.menuBar().mapToGlobal(QPoint(5, 25)))
        if usable(menu.windowHandle()):
            clicked(menu.windowHandle(), BUTTONS[0], HELD[0], menu.actionGeometry(entry).center())
        return "menu"

    def _size(self, top: QWidget) -> str:
        self.trail.append(f"resize {type(top).__name__}")
        if not isinstance(top, QMenu):
            top.resize(self.chance.randrange(300, 1500), self.chance.randrange(200, 940))
        return "resize"

    def _close(self, top: QWidget) -> str:
        self.trail.append(f"close {type(top).__name__}")
        if top is self.window and self.chance.random() < 0.7:
            return "stay"
        top.close()
        return "close"

    def _act(self) -> None:
        top = self._top()
        if top is None:
            self._open()
            return
        strokes = {
            self._click: 40, self._drag: 14, self._wheel: 6, self._type: 16, self._key: 12, self._undo: 4, self._menu: 6,
            self._size: 1, self._close: 1 if top is self.window else 3,
        }  # fmt: skip
        if self.chance.random() < 0.02:
            said = self._other_hand()
            self.trail.append(said)
            self.did[said.split()[1].rstrip(":")] += 1
            return
        stroke = self.chance.choices(list(strokes), list(strokes.values()))[0]
        self.did[stroke(top)] += 1

    # -- rounds ----------------------------------------------------------------------------------------------

    def _open(self) -> None:
        """A new window on some brief, as the program opens it."""
        if self.window is not None:
            self.window.deleteLater()  # closed by the monkey; the next comes when it has gone, as in another run
            self.window = None
            return
        # A program begins without one; set anew with the window, it would be worked into every widget twice.
        QApplication.instance().setStyleSheet("")
        for sample in SAMPLES[:1]:
            shutil.copy(sample, self.work)
        path = self.chance.choice(self._briefs())
        try:
            source = load_source(path)
        except ValueError:
            shutil.copy(self.chance.choice(SAMPLES), path)
            source = load_source(path)
        ask = Questions(
            open_path=lambda _w: self._some_path(),
            save_path=lambda _w, _n: self._new_path(),
            folder=lambda _w, _n: self._packet(),
            show_folder=lambda _f: None,  # another program's window is not the monkey's
            show_folder=lambda _folder: None,
        )
        self.trail.append(f"open a window on {path.name}")
        self.window = MainWindow(Document(source, path), self.settings, ask)
        self.window.show()
        self.did["window"] += 1

    def _packet(self) -> str:
        self.packets += 1
        return str(self.work / f"packet-{self.chance.randrange(40)}") if self.chance.random() < 0.8 else ""

    def _end_round(self) -> None:
        """Close everything, clear up, and look at what is left."""
        while QApplication.activeModalWidget() is not None or QApplication.activePopupWidget() is not None:
            (QApplication.activePopupWidget() or QApplication.activeModalWidget()).close()
            QApplication.processEvents()
        if self.window is not None:
            gone = weakref.ref(self.window)
            self.saved += self.window.document.path is not None
            self.window.questions.unsaved = lambda *_a: "discard"
            self.window.close()
            self.window.deleteLater()
            self.window = None
            QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
            gc.collect()
            if gone() is not None and shiboken6.isValid(gone()):
                self.left.append("a closed window")
        for top in QApplication.topLevelWidgets():
            if top.isVisible():
                self.left.append(f"visible {type(top).__name__} {top.windowTitle()}")
        for packet in self.work.glob("packet-*"):
            shutil.rmtree(packet, ignore_errors=True)
        for odd in (p for p in self.work.iterdir() if p.name.startswith((".packet", ".n")) or p.name.endswith(".part")):
            self.left.append(f"file {odd.name}")
        for sample in SAMPLES:
            shutil.copy(sample, self.work)
        held = resident_kb()
        self.collector.tidy()  # as the program does whenever the hand rests; pools with gaps are no leak
        kinds = Counter(type(o).__qualname__ for o in gc.get_objects())
        self.first = self.first or (kinds if len(self.samples) == 1 else None)
        self.grown = (kinds - self.first).most_common(12) if self.first else []
        self.samples.append(
            {
                "s": round(time.monotonic() - self.begun), "step": self.steps, "kb": resident_kb(), "held": held,
                "widgets": len(QApplication.allWidgets()),
                "threads": len(os.listdir("/proc/self/task")), "files": len(os.listdir("/proc/self/fd")),
                "objects": len(gc.get_objects()),
            }
        )  # fmt: skip
        with (self.folder / "rounds.jsonl").open("a") as book:  # what there is to read while it plays, or when it ended badly
            so_far = {"faults": self.faults, "stalls": self.watch.stalls, "left": self.left, "longest": self.watch.longest}
            book.write(json.dumps({**self.samples[-1], **so_far}) + "\n")

    def step(self) -> None:
        """One stroke; the next is asked for first, as a dialog keeps its own loop of events within the stroke."""
        same = QApplication.activeModalWidget() is self._modal_at
        if self._acting and same and self._waited < 400:
            self._waited += 1
            self._soon.start(2)
            return
        self._waited = 0
        nested = self._acting
        now = time.monotonic()
        if now > self.until or now > self._round_until:
            if nested or QApplication.activeModalWidget() is not None:
                self._soon.start(2)  # first: to close may ask, and somebody has to answer
                (QApplication.activePopupWidget() or QApplication.activeModalWidget() or self.window).close()
                return
            self._end_round()
            self._round_until = now + self.round_s
            if now > self.until:
                QApplication.exit(0)
                return
        self._soon.start(0)
        held = self._acting, self._modal_at
        self._acting, self._modal_at = True, QApplication.activeModalWidget()
        self.steps += 1
        faulthandler.dump_traceback_later(180, exit=True)
        self.watch.begin()
        try:
            self._act()
        except Exception:
            self._fault(None, "the monkey itself: " + traceback.format_exc())
        finally:
            self.watch.end(self.trail[-1] if self.trail else "")
            self._acting, self._modal_at = held

    def run(self) -> dict[str, object]:
        """Act; return what was met."""
        QApplication.setQuitOnLastWindowClosed(False)
        self.hub.install()
        self.watch.start()
        self._round_until = time.monotonic() + self.round_s
        self._soon.start(0)
        QApplication.exec()
        faulthandler.cancel_dump_traceback_later()
        self.hub.remove()
        qInstallMessageHandler(None)
        return {
            "seed": self.seed, "steps": self.steps, "did": dict(self.did), "packets": self.packets, "faults": self.faults,
            "stalls": self.watch.stalls, "longest": self.watch.longest, "left": self.left, "samples": self.samples,
            "grown": self.grown,
        }  # fmt: skip


def main(seed: int, seconds: float, folder: Path) -> None:
    application = QApplication(["standwright"])
    application.setStyle("Fusion")
    met = Monkey(seed, seconds, folder).run()
    sys.stdout.write(json.dumps(met) + "\n")
    sys.stdout.flush()


if __name__ == "__main__":
    faulthandler.enable()
    main(int(sys.argv[1]), float(sys.argv[2]), Path(sys.argv[3]))

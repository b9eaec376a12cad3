"""Plays in rounds: opens windows, strikes them, closes everything, and looks at what is left.

What each round met is added to ``rounds.jsonl`` in its folder.
"""

from __future__ import annotations

import faulthandler
import gc
import json
import os
import random
import shutil
import time
import traceback
import weakref
from collections import Counter
from pathlib import Path

import shiboken6
from PySide6.QtCore import QEvent, QSettings, QTimer, qInstallMessageHandler
from PySide6.QtWidgets import QApplication, QFileDialog, QWidget

from app.dialogs.fault import FaultHub
from app.document import Document, Settings
from app.live.memory import Collector, settle
from app.window import MainWindow
from app.window.main_window import Questions
from framecore.brief import load_source
from tests.app.monkey.files import SAMPLES, Files
from tests.app.monkey.hands import Hands
from tests.app.monkey.watch import Watch, resident_kb

ROUND_S = 60.0


class Monkey(Hands):
    """Acts until its time is over; everything it does is drawn from the seed."""

    def __init__(self, seed: int, seconds: float, folder: Path) -> None:
        super().__init__(random.Random(seed))
        self.seed, self.folder = seed, folder
        self.begun = time.monotonic()
        self.until = self.begun + seconds
        self.round_s = min(ROUND_S, seconds / 3)
        self.did: Counter[str] = Counter()
        self.faults: list[str] = []
        self.samples: list[dict[str, int]] = []
        self.left: list[str] = []
        self.first: Counter[str] | None = None
        self.grown: list[tuple[str, int]] = []
        self.steps = self.packets = self.saved = 0
        self._acting = False
        self._modal_at: QWidget | None = None
        self._waited = 0
        self._round_until = 0.0
        self._soon = QTimer(singleShot=True)  # one for all strokes: each QTimer.singleShot to a method leaves a reference
        self._soon.timeout.connect(self.step)
        self.watch = Watch(lambda: self.trail[-1] if self.trail else "")
        self.files = Files(self.chance, folder)
        store = QSettings(str(folder / "settings.ini"), QSettings.Format.IniFormat)
        store.setValue("recovery", str(folder / "recovered.toml"))
        store.setValue("kept", str(self.files.kept))
        self.settings = Settings(store)
        QFileDialog.getSaveFileName = staticmethod(lambda *_a, **_k: (self.files.new_path(), ""))
        QFileDialog.getOpenFileName = staticmethod(lambda *_a, **_k: (self.files.some_path(), ""))
        self.hub = FaultHub(lambda: self.window.rescue() if self.window else None, show=self._fault)
        qInstallMessageHandler(self._qt)
        settle()  # as the program does
        self.collector = Collector(QApplication.instance())

    def _fault(self, _saved: Path | None, report: str) -> None:
        self.faults.append(report + "\nafter\n  " + "\n  ".join(list(self.trail)[-12:]))

    def _qt(self, _kind: object, _about: object, text: str) -> None:
        # A window may have become smaller between aiming and striking; that is the monkey's own.
        if "occurs outside target window" not in text:
            self._fault(None, f"Qt: {text}")

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
            said = self.files.other_hand(self.window.document.path if self.window else None)
            self.trail.append(said)
            self.did[said.split()[1].rstrip(":")] += 1
            return
        stroke = self.chance.choices(list(strokes), list(strokes.values()))[0]
        self.did[stroke(top)] += 1

    def _open(self) -> None:
        """A new window on some brief, as the program opens it."""
        if self.window is not None:
            self.window.deleteLater()  # closed by the monkey; the next comes when it has gone, as in another run
            self.window = None
            return
        # A program begins without one; set anew with the window, it would be worked into every widget twice.
        QApplication.instance().setStyleSheet("")
        for sample in SAMPLES[:1]:
            shutil.copy(sample, self.files.work)
        path = self.chance.choice(self.files.briefs())
        try:
            source = load_source(path)
        except ValueError:
            shutil.copy(self.chance.choice(SAMPLES), path)
            source = load_source(path)
        ask = Questions(
            open_path=lambda _w: self.files.some_path(),
            save_path=lambda _w, _n: self.files.new_path(),
            folder=lambda _w, _n: self._packet(),
            show_folder=lambda _f: None,  # another program's window is not the monkey's
        )
        self.trail.append(f"open a window on {path.name}")
        self.window = MainWindow(Document(source, path), self.settings, ask)
        self.window.show()
        self.did["window"] += 1

    def _packet(self) -> str:
        self.packets += 1
        return self.files.packet()

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
        self.left += self.files.clear()
        self.files.afresh()
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

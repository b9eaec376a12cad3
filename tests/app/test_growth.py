"""Memory stays flat: stands that were worked out and dialogs that were closed are let go of.

``STANDWRIGHT_GROWTH=10 pytest -s tests/app/test_growth.py`` does ten times as much (2,000 stands, 500 dialogs) and prints it.
"""

from __future__ import annotations

import gc
import os
from collections import Counter
from pathlib import Path

import pytest
from PySide6.QtCore import QEvent, QTimer
from PySide6.QtWidgets import QApplication

from app.dialogs import guard
from app.dialogs.about import AboutDialog
from app.dialogs.fault import FaultDialog
from app.dialogs.levelling import LevelDialog
from app.dialogs.modal import ask
from app.dialogs.page import PageDialog
from app.dialogs.pattern import PatternDialog
from app.dialogs.rescue_differences import DifferencesDialog
from app.inputs.editors import TableEditor
from framecore.brief import load_source
from framecore.stand import Evaluator

TIMES = int(os.environ.get("STANDWRIGHT_GROWTH", "1"))
SAMPLES = sorted(Path(__file__).parents[2].joinpath("samples").glob("*.toml"))
STANDS, DIALOGS = 200 * TIMES, 50 * TIMES
MOST_KB = 20_000  # of the whole process; the system gives pages in lumps

pytestmark = pytest.mark.skipif(not Path("/proc/self/statm").exists(), reason="memory is read from /proc")


def resident_kb() -> int:
    return int(Path("/proc/self/statm").read_text().split()[1]) * os.sysconf("SC_PAGE_SIZE") // 1024


class Growth:
    """What is there now, against what was there when it was made."""

    def __init__(self) -> None:
        self.objects, self.kb, self.widgets = self.now()

    @staticmethod
    def now() -> tuple[Counter[str], int, int]:
        app = QApplication.instance()
        if app is not None:
            app.sendPostedEvents(None, QEvent.Type.DeferredDelete)
            app.processEvents()
        gc.collect()
        return Counter(type(o).__qualname__ for o in gc.get_objects()), resident_kb(), len(QApplication.allWidgets())

    def check(self, what: str, count: int, most: int = 100) -> None:
        """``most``: objects that may come besides, as caches that forget their oldest fill up."""
        objects, kb, widgets = self.now()
        more = objects - self.objects
        print(f"\n{count} {what}: {objects.total() - self.objects.total():+d} objects, {kb - self.kb:+d} kB")
        assert widgets <= self.widgets + 2, f"{widgets - self.widgets} widgets stay"
        assert more.total() < most + count // 4, f"{what}: {more.most_common(8)}"
        assert kb - self.kb < MOST_KB, f"{what}: {kb - self.kb} kB"


@pytest.mark.timeout(3600)
def test_stands_that_were_worked_out_are_let_go():
    briefs = [load_source(p).resolve().brief for p in SAMPLES]
    from dataclasses import replace

    evaluators = [Evaluator() for _ in briefs]

    def some(start, count):
        for k in range(start, start + count):
            brief = briefs[k % len(briefs)]
            height = 700.0 + k % 97
            stand = evaluators[k % len(briefs)].evaluate(replace(brief, frame=replace(brief.frame, height=height)))
            if k % 20 == 0:
                assert len(stand.figures) > 20  # with the late ones

    some(0, 9 * 20)
    growth = Growth()
    some(180, STANDS)
    growth.check("stands", STANDS, 1500)


def opened(window, make):
    """Open a dialog and close it as soon as it is there."""
    QTimer.singleShot(0, lambda: (QApplication.activeModalWidget() or QApplication.activeWindow()).close())
    make(window)


def shown(make):
    def do(window):
        dialog = make(window)
        dialog.show()
        QApplication.processEvents()
        dialog.close()

    return do


def table(window):
    window.inputs.complete()
    editor = next(r.editor for r in window.inputs.rows.values() if isinstance(r.editor, TableEditor))
    return lambda: editor.open()


WAYS = {
    "about": lambda w: ask(AboutDialog(w)),
    "pattern": lambda w: ask(PatternDialog(w.document, w)),
    "differences": lambda w: ask(DifferencesDialog("a", "b", ("one", "other"), w)),
    "fault": lambda w: ask(FaultDialog(None, "report")),
    "table": lambda w: table(w)(),
    "unsaved": lambda w: guard.ask_unsaved(w, "a"),
    "tell": lambda w: guard.tell(w, "a", "b"),
    "changed": lambda w: guard.ask_changed(w, "a", "b", lambda: None),
    "other window": lambda w: guard.ask_other_window(w, "a"),
    "overwrite": lambda w: guard.ask_overwrite_open(w, "a"),
}  # fmt: skip
BESIDE = {
    "levelling": shown(lambda w: LevelDialog(w.live, w.document, w)),
    "page": shown(lambda w: PageDialog("Levelling", "levelling.md", w)),
}


@pytest.mark.timeout(3600)
@pytest.mark.parametrize("way", [*WAYS, *BESIDE])
def test_dialogs_that_were_closed_are_let_go(qtbot, window, way):
    def once():
        if way in BESIDE:
            BESIDE[way](window)
        else:
            opened(window, WAYS[way])

    for _ in range(3):
        once()
        qtbot.wait(400)  # what the window does late is done, and loaded what it needs
        Growth.now()
    growth = Growth()
    for _ in range(DIALOGS):
        once()
    growth.check(f"dialogs ({way})", DIALOGS)


@pytest.mark.timeout(3600)
def test_sheets_and_edits_that_are_over_are_let_go(qtbot, window):
    """The sheet dialog stays with its window; what it showed does not. The history is cleared by another brief."""

    def once(k):
        window.document.edit("frame.height", 700 + k % 50)
        window.live.flush()
        window.show_sheets()
        qtbot.waitUntil(lambda: not window._sheets.waiting, timeout=60_000)
        window._sheets.close()
        window.document.replace(window.document.source, window.document.path)

    for k in range(4):
        once(k)
    growth = Growth()
    for k in range(8 * TIMES):
        once(k)
    growth.check("times sheets", 8 * TIMES, 2000)


@pytest.mark.timeout(3600)
def test_stands_that_were_shown_beside_their_modes_are_let_go(qtbot, window):
    """What works beside the window must not keep the stand it was given."""
    from framecore.stand import Stand

    def stands():
        gc.collect()
        return sum(type(o) is Stand for o in gc.get_objects())

    window.show_modes(True)
    panel = window.better.panels["motion"]

    def once(k):
        window.document.edit("frame.height", 700 + k)
        window.live.flush()
        panel._work_out()
        qtbot.waitUntil(lambda: not panel._works, timeout=20_000)

    for k in range(3):
        once(k)
    before = stands()
    for k in range(3, 3 + 5 * TIMES):
        once(k)
    assert panel._found and stands() <= before + 1

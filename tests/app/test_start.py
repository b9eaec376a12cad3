"""What a start loads: the first picture's own, and the rest once it has been painted."""

import json
import os
import subprocess
import sys

import pytest

from tests.speed.window import BARE

# Works the window out as a start does; says what is loaded before the loop of events runs, and when it has nothing left to do.
START = """
import json, sys
from app.cli.window import load_core, sample_source
load_core()
from PySide6.QtWidgets import QApplication
from app.document import Document, Settings
from app.live.memory import settle
from app.window import MainWindow
application = QApplication([])
window = MainWindow(Document(sample_source(), None), Settings())
window.show()
settle()
places = {name: getattr(module, "__file__", None) or "" for name, module in sys.modules.items()}
while window.inputs.waiting or "tomlkit" not in sys.modules or "app.view3d.editing" not in sys.modules:
    application.processEvents()
print(json.dumps([places, sorted(set(sys.modules) - set(places))]))
import os
sys.stdout.flush()
os._exit(0)
"""
# What is loaded when it is first used: dialogs, the search, sheets and files, other layouts, late figures, what edits.
LATER = (
    "tomlkit", "shapely", "scipy.optimize", "pyqtgraph", "ezdxf", "reportlab", "xlsxwriter",
    "framecore.search", "framecore.sheets", "framecore.cutting.nest", "framecore.figures.late", "framecore.shop.steps",
    "framecore.frame.trestle", "framecore.solids.contacts", "framecore.strength._sensitivity",
    "app.dialogs.first_start", "app.dialogs.levelling", "app.dialogs.pattern", "app.sheetview.dialog", "app.panels.modes",
    "app.view3d.editing", "app.window.walking",
)  # fmt: skip


@pytest.fixture(scope="module")
def started(tmp_path_factory):
    home = str(tmp_path_factory.mktemp("home"))
    env = os.environ | {"QT_QPA_PLATFORM": "offscreen", "XDG_CONFIG_HOME": home, "XDG_STATE_HOME": home, "HOME": home}
    done = subprocess.run([sys.executable, "-c", START], env=env, capture_output=True, text=True, check=True)
    return json.loads(done.stdout.splitlines()[-1])


def test_a_start_leaves_what_the_first_picture_does_without(started):
    loaded, _ = started
    assert [name for name in LATER if name in loaded] == []


def test_the_start_is_compared_with_the_toolkits_that_it_loads_and_no_others(started):
    loaded, _ = started
    code = f"{BARE}\nimport json, sys\nprint(json.dumps(sorted(sys.modules)))"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    bare = set(json.loads(done.stdout))
    # Names with a line before them are of the installation.
    foreign = {name for name, place in loaded.items() if "site-packages" in place and not name.startswith("_")}
    assert foreign - bare == set()
    named = {name.strip() for name in BARE.removeprefix("import ").split(",")}
    assert named - set(loaded) <= {"PySide6.QtOpenGL"}  # here the view is painted


def test_what_a_first_edit_and_a_first_grip_need_is_there_soon(started):
    _, after = started
    assert {"tomlkit", "app.view3d.editing"} <= set(after)

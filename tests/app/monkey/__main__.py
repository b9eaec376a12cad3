"""``python -m tests.app.monkey SEED SECONDS FOLDER`` works in FOLDER alone and prints what it met as one line of JSON."""

from __future__ import annotations

import faulthandler
import json
import sys
from pathlib import Path

from PySide6.QtWidgets import QApplication

from tests.app.monkey import Monkey


def main(seed: int, seconds: float, folder: Path) -> None:
    application = QApplication(["standwright"])
    application.setStyle("Fusion")
    met = Monkey(seed, seconds, folder).run()
    sys.stdout.write(json.dumps(met) + "\n")
    sys.stdout.flush()


if __name__ == "__main__":
    faulthandler.enable()
    main(int(sys.argv[1]), float(sys.argv[2]), Path(sys.argv[3]))

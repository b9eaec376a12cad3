"""A program without a window that edits and saves a brief until it is killed; writes down what it did.

Lines of the log: ``edit N T`` after edit number N, ``begin N T`` before and ``saved N T`` after a saving; T is the
monotonic clock in seconds.
"""

from __future__ import annotations

import os
import random
import sys
import time
from pathlib import Path

from PySide6.QtCore import QCoreApplication, QTimer

from app.document import Document, Rescue
from framecore.brief import load_source

KEY = "machine.mass"


def main(file: Path, kept: Path, log: Path, seed: int) -> None:
    chance = random.Random(seed)
    application = QCoreApplication(sys.argv[:1])
    document = Document(load_source(file), file)
    rescue = Rescue(document, kept)
    handle = os.open(log, os.O_WRONLY | os.O_CREAT | os.O_APPEND)

    def write(word: str, number: int) -> None:
        os.write(handle, f"{word} {number} {time.monotonic()}\n".encode())

    rescue.failed.connect(lambda sentence: write("FAILED", 0))
    number = 100
    save_at = 0.0

    def step() -> None:
        nonlocal number, save_at
        number += 1
        document.edit(KEY, number, gesture=number // 50)
        write("edit", number)
        if time.monotonic() > save_at:
            write("begin", number)
            document.save()
            write("saved", number)
            # Mostly in quick succession, now and then a long stretch that only the kept work covers.
            save_at = time.monotonic() + (chance.uniform(0.0, 0.2) if chance.random() < 0.6 else chance.uniform(1, 9))
        # Now a drag without a rest, now a hand that rests: both ways of keeping come up.
        timer.setInterval(10 if chance.random() < 0.99 else chance.randrange(200, 1800))

    timer = QTimer()
    timer.timeout.connect(step)
    timer.start(10)
    application.exec()


if __name__ == "__main__":
    main(Path(sys.argv[1]), Path(sys.argv[2]), Path(sys.argv[3]), int(sys.argv[4]))

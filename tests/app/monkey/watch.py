"""What the window's thread and its memory are like while something acts on it."""

from __future__ import annotations

import os
import sys
import threading
import time
import traceback
from pathlib import Path

STALL_S = 3.0  # of the window's own thread in one stroke; processor time, so that a busy machine is no stall


def resident_kb() -> int:
    """Memory of this process that is in use, kB."""
    return int(Path("/proc/self/statm").read_text().split()[1]) * os.sysconf("SC_PAGE_SIZE") // 1024


class Watch(threading.Thread):
    """Looks at the window's thread from beside it and writes down where it stood when a stroke took too long."""

    def __init__(self, name_of_stroke) -> None:
        super().__init__(daemon=True)
        self.stall_s = STALL_S
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
            if not self._told and self.used() - self._begun > self.stall_s:
                frame = sys._current_frames().get(self._main)
                where = "".join(traceback.format_stack(frame, 40)[-14:])
                if stroke == self._stroke and not self._told:
                    self._told = True
                    self.stalls.append(f"{self._name()}\n{where}")

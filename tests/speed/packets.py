"""The packet of the default sample."""

from __future__ import annotations

import statistics
import tempfile
import time
from pathlib import Path

from app.cli.packet import write_packet
from framecore.brief import load_brief
from framecore.stand import evaluate

SAMPLE = Path(__file__).parents[2] / "samples" / "bench-lathe.toml"


def table() -> list[tuple[str, str, str]]:
    """Rows: what, measured, aim."""
    seconds = []
    with tempfile.TemporaryDirectory() as folder:
        for k in range(4):
            begun = time.perf_counter()
            write_packet(evaluate(load_brief(SAMPLE)), Path(folder) / str(k), force=False)
            seconds.append(time.perf_counter() - begun)
    return [("packet of the bench lathe, imports warm", f"{statistics.median(seconds[1:]):.2f} s", "2 s")]

"""The monkey's folder, and the other hand that does something to the files in it."""

from __future__ import annotations

import os
import random
import shutil
import time
from pathlib import Path

from app.document.slot import Slot

SAMPLES = sorted(Path(__file__).parents[3].joinpath("samples").glob("*.toml"))


class Files:
    """Briefs in a folder of their own, and paths as somebody gives them; ``kept`` is where unsaved work goes."""

    def __init__(self, chance: random.Random, folder: Path) -> None:
        self.chance, self.work, self.kept = chance, folder / "work", folder / "kept"
        self._parked: tuple[Path, Path] | None = None
        self.work.mkdir(parents=True)
        self.afresh()

    def afresh(self) -> None:
        """Put every sample back as it was."""
        for sample in SAMPLES:
            shutil.copy(sample, self.work)

    def packet(self) -> str:
        """Return a folder for a packet, or none, as from a question that was cancelled."""
        return str(self.work / f"packet-{self.chance.randrange(40)}") if self.chance.random() < 0.8 else ""

    def clear(self) -> list[str]:
        """Take the packets away; return what is left that has no business there."""
        for packet in self.work.glob("packet-*"):
            shutil.rmtree(packet, ignore_errors=True)
        odd = (p for p in self.work.iterdir() if p.name.startswith((".packet", ".n")) or p.name.endswith(".part"))
        return [f"file {p.name}" for p in odd]

    def briefs(self) -> list[Path]:
        return sorted(p for p in self.work.glob("*.toml") if p.is_file())

    def some_path(self) -> str:
        files = self.briefs()
        odd = ["", str(self.work), str(self.work / "gone.toml"), str(self.work / "no" / "such.toml")]
        return self.chance.choice([*map(str, files), *odd])

    def new_path(self) -> str:
        name = self.chance.choice(["a.toml", "b", "c.toml", "..x.toml", "ü ö.toml", "n" * 300, "no/such", "", "packet"])
        if name == "packet":
            name = f"packet-{self.chance.randrange(40)}"
        return str(self.work / name) if name else ""

    def other_hand(self, open_here: Path | None) -> str:
        """Somebody else does something to the files."""
        files = self.briefs()
        if self._parked is not None:
            here, there = self._parked
            self._parked = None
            if there.exists() and not here.exists():
                there.rename(here)
            return "files: put back"
        if not files:
            return "files: none"
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
        slot = Slot.create(self.kept)
        try:
            original = path.read_text("utf-8")
        except ValueError:
            original = ""
        edits = {"machine.mass": self.chance.randrange(10, 400)}
        slot.keep({"format": 1, "at": time.time(), "path": str(path), "opened": None, "original": original, "edits": edits})
        slot.release()

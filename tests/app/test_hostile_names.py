"""No text of a brief leads out of the folder that was chosen."""

from __future__ import annotations

import re
from pathlib import PureWindowsPath

import pytest

from app.cli.main import stand_of
from app.cli.packet import write_packet
from app.cli.window import sample_source

HOSTILE = [
    "../../x", "..\\..\\x", "/etc/x", "C:\\x", "con", "NUL.txt", "aux", "LPT1", "n" * 300,
    "n" * 200, "a\x00b", "🔧 stand", "a\nb", ".", "..", " ", "a:b*?<>|",
]  # fmt: skip
RESERVED = {"con", "prn", "aux", "nul", *(f"{w}{k}" for w in ("com", "lpt") for k in range(1, 10))}
# Texts of a brief, and each is tried with every hostile one.
FIELDS = ("title", "machine.name")


@pytest.mark.parametrize("hostile", HOSTILE, ids=range(len(HOSTILE)))
def test_the_packet_stays_in_its_folder(tmp_path, hostile):
    source = sample_source()
    for key in FIELDS:
        source = source.with_value(key, hostile)
    reading = source.resolve()
    if reading.brief is None:
        # Refused in plain words is safe as well.
        assert all(f.message for f in reading.findings)
        return
    box = tmp_path / "box"
    box.mkdir()
    write_packet(stand_of(source), box / "packet", force=False)
    assert [p.name for p in tmp_path.iterdir()] == ["box"]
    assert [p.name for p in box.iterdir()] == ["packet"]
    for path in (box / "packet").rglob("*"):
        assert re.fullmatch(r"[A-Za-z0-9][A-Za-z0-9._-]{0,99}", path.name), path.name
        assert PureWindowsPath(path.name).stem.lower() not in RESERVED
        assert not path.is_symlink()

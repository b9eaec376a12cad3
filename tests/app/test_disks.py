"""Disks and folders that refuse: real ones, seen by a user who may not write, and a disk that is full at every stroke."""

from __future__ import annotations

import contextlib
import os
import re
import shutil
import subprocess
import sys
import textwrap
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
LINUX = pytest.mark.skipif(not sys.platform.startswith("linux"), reason="users and limits of Linux")


def without_rights(words, cwd, **more):
    """Run Python as a user to whom the rights of files apply; root is one once it has given up what overrules them."""
    surroundings = {**os.environ, "HOME": str(cwd), "PYTHONDONTWRITEBYTECODE": "1", "PYTHONPATH": str(ROOT), **more}
    given_up = "-dac_override,-dac_read_search,-fowner"
    drop = ["setpriv", f"--bounding-set={given_up}", f"--inh-caps={given_up}", "--"] if os.geteuid() == 0 else []
    return subprocess.run(
        [*drop, sys.executable, *words], capture_output=True, text=True, cwd=cwd, env=surroundings, check=False, timeout=120
    )


@pytest.fixture
def open_path(tmp_path):
    """A folder where the rights of files can be tried."""
    closed = tmp_path / "trial"
    closed.mkdir()
    closed.chmod(0o555)
    if os.geteuid() == 0 and not shutil.which("setpriv"):
        pytest.skip("root, and no way to give up its rights")
    if without_rights(["-c", f"import os, app; assert not os.access({str(closed)!r}, os.W_OK)"], tmp_path).returncode:
        pytest.skip("this user may write everywhere")
    return tmp_path


def one_line(done, *words):
    """The command failed with one plain line."""
    assert done.returncode == 2, done.stderr
    assert len(done.stderr.splitlines()) == 1 and "Traceback" not in done.stderr, done.stderr
    assert all(w in done.stderr for w in words), done.stderr


@LINUX
def test_a_folder_that_is_closed(open_path, sample_file):
    closed = open_path / "closed"
    closed.mkdir(mode=0o555)
    closed.chmod(0o555)
    sample_file.chmod(0o444)
    run = ["-m", "app", "packet", str(sample_file), "-o"]
    one_line(without_rights([*run, str(closed / "packet")], open_path), "was not written", "ermission")
    assert not list(closed.iterdir())
    secret = open_path / "secret.toml"
    secret.write_text("format = 1\n")
    secret.chmod(0o000)
    one_line(without_rights(["-m", "app", "check", str(secret)], open_path), "could not be opened", "ermission")
    done = without_rights(["-m", "app", "figures", str(sample_file), "--model", str(closed / "m.json")], open_path)
    one_line(done, "m.json", "ermission")
    assert not list(closed.iterdir())


WINDOW = textwrap.dedent(
    """
    import sys
    from pathlib import Path
    from PySide6.QtCore import QSettings
    from PySide6.QtWidgets import QApplication
    from app.document import Document, Settings
    from app.window import MainWindow
    from app.window.questions import Questions
    from framecore.brief import load_source
    application = QApplication([])
    said = []
    file = Path(sys.argv[1])
    window = MainWindow(Document(load_source(file), file), Settings(), Questions(tell=lambda w, t, text: said.append(text),
        unsaved=lambda *a: "discard", save_path=lambda *a: sys.argv[2]))
    window.show()
    window.document.edit("machine.mass", 333)
    kept = window.keeping.rescue.flush()
    banner = window.keeping.banner.label.text()
    print("saved", window.save(), "dirty", window.document.dirty)
    print("saved as", window.save_as(), "dirty", window.document.dirty)
    print("kept", kept, banner)
    print("rescued", window.rescue())
    for text in said:
        print("said", text)
    window.close()
    """
)


@LINUX
def test_a_window_where_nothing_may_be_written(qapp, open_path, sample_file):
    """A home of somebody else, a brief that may be read only: the window works and says what it cannot do."""
    home = open_path / "home"
    home.mkdir(mode=0o555)
    home.chmod(0o555)
    before = sample_file.read_bytes()
    sample_file.chmod(0o444)
    sample_file.parent.chmod(0o555)
    closed = {f"XDG_{k}_HOME": str(home / k) for k in ("DATA", "STATE", "CONFIG", "CACHE", "RUNTIME")}
    done = without_rights(["-c", WINDOW, str(sample_file), str(home / "mine.toml")], home, STANDWRIGHT_VIEW="painted", **closed)
    sample_file.parent.chmod(0o755)
    out = done.stdout
    assert done.returncode == 0, done.stderr[-3000:]
    assert "saved False dirty True" in out and "saved as False dirty True" in out
    assert "kept False" in out and "cannot be kept against a crash" in out and "rescued None" in out
    told = [line for line in out.splitlines() if line.startswith("said")]
    assert len(told) == 2 and "read-only" in told[0] and "may not write" in told[1]
    assert sample_file.read_bytes() == before and not list(home.iterdir())


# -- a disk that is full ----------------------------------------------------------------------------------

FULL = textwrap.dedent(
    """
    import resource, signal, sys
    from pathlib import Path
    signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    limit = int(sys.argv[1])
    from app.cli.main import run
    import framecore.sheets, framecore.solids.files, app.cli.packet, app.cli.lists_xlsx
    resource.setrlimit(resource.RLIMIT_FSIZE, (limit, limit))
    sys.exit(run(["packet", sys.argv[2], "-o", sys.argv[3]]))
    """
)


@LINUX
@pytest.mark.parametrize("limit", [0, 100, 3_000, 20_000, 60_000])
def test_a_packet_on_a_full_disk_is_one_sentence_and_no_folder(tmp_path, sample_file, limit):
    box = tmp_path / "box"
    box.mkdir()
    done = subprocess.run(
        [sys.executable, "-c", FULL, str(limit), str(sample_file), str(box / "packet")], capture_output=True, text=True,
        cwd=ROOT, check=False, timeout=200, env={**os.environ, "PYTHONDONTWRITEBYTECODE": "1"},
    )  # fmt: skip
    one_line(done, "the packet was not written")
    assert list(box.iterdir()) == []


def nth_fails(monkeypatch, n):
    """From the n-th writing to a file on, the disk is full; return the count of writings there were."""
    import builtins
    import io

    count = [0]

    def stroke():
        count[0] += 1
        if count[0] >= n:
            raise OSError(28, os.strerror(28))

    real_open, real_write, real_fdopen = builtins.open, os.write, os.fdopen

    class Full:
        def __init__(self, inner):
            self._inner = inner

        def __getattr__(self, name):
            return getattr(self._inner, name)

        def __enter__(self):
            self._inner.__enter__()
            return self

        def __exit__(self, *what):
            return self._inner.__exit__(*what)

        def __iter__(self):
            return iter(self._inner)

        def write(self, data):
            stroke()
            return self._inner.write(data)

        def flush(self):
            return self._inner.flush()

    def wrap(made, mode):
        return Full(made) if any(c in mode for c in "wax+") else made

    def opening(file, mode="r", *more, **named):
        return wrap(real_open(file, mode, *more, **named), mode)

    monkeypatch.setattr(builtins, "open", opening)
    monkeypatch.setattr(io, "open", opening)
    monkeypatch.setattr(os, "fdopen", lambda handle, mode="r", *more, **named: wrap(real_fdopen(handle, mode, *more), mode))
    monkeypatch.setattr(os, "write", lambda handle, data: (stroke(), real_write(handle, data))[1])
    return count


@pytest.mark.timeout(1200)
def test_the_packet_at_every_writing_in_turn(tmp_path, monkeypatch):
    """The disk is full from the n-th writing on: one sentence, nothing left; tried at writings all along the packet."""
    from app.cli.common import stand_of
    from app.cli.packet import write_packet
    from app.cli.window import sample_source

    stand = stand_of(sample_source())
    with monkeypatch.context() as patch:
        count = nth_fails(patch, 10**9)
        write_packet(stand, tmp_path / "whole", force=False)
        total = count[0]
    assert total > 30
    tries = sorted({1, 2, 3, total, *(1 + total * k // 12 for k in range(12))})
    for n in tries:
        box = tmp_path / f"box-{n}"
        box.mkdir()
        with monkeypatch.context() as patch:
            nth_fails(patch, n)
            with pytest.raises(OSError, match=re.compile("not written|left on device")) as caught:
                write_packet(stand, box / "packet", force=False)
        assert caught.value.errno == 28, (n, total)
        assert list(box.iterdir()) == [], (n, total)


@pytest.mark.parametrize("n", [1, 2, 3, 4])
def test_saving_at_every_writing_in_turn(window, asked, monkeypatch, n):
    path = window.document.path
    before = path.read_bytes()
    window.document.edit("machine.mass", 333)
    with monkeypatch.context() as patch:
        count = nth_fails(patch, n)
        saved = window.save()
    window.keeping.rescue.flush()
    if saved:
        assert count[0] < n or path.read_bytes() != before
    else:
        assert path.read_bytes() == before and "the disk is full" in asked.said[0] and window.document.dirty
    assert not list(path.parent.glob(".*.part"))


@pytest.mark.parametrize("kind", ["pdf", "dxf", "svg"])
def test_sheets_on_a_full_disk_leave_the_old_file(tmp_path, monkeypatch, kind):
    from app.cli.common import stand_of
    from app.cli.window import sample_source
    from app.sheetview.dialog import write
    from framecore.sheets import compose

    sheets = compose(stand_of(sample_source()))
    path = tmp_path / f"sheets.{kind}"
    path.write_text("the old one")
    refused = 0
    for n in (1, 2, 3):
        path.write_text("the old one")
        with monkeypatch.context() as patch:
            nth_fails(patch, n)
            with contextlib.suppress(OSError):
                write(kind, sheets, 0, path)
        refused += path.read_text("latin-1") == "the old one"
        assert path.read_text("latin-1") == "the old one" or path.stat().st_size > 1000, "half a file"
        assert [p.name for p in tmp_path.iterdir()] == [path.name]
    assert refused
    write(kind, sheets, 0, path)
    assert path.stat().st_size > 1000 and [p.name for p in tmp_path.iterdir()] == [path.name]
    with pytest.raises(OSError, match="no file may have"):
        write(kind, sheets, 0, tmp_path / "a\0b")

"""The command line as scripts see it."""

from __future__ import annotations

import csv
import json
import os
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

from app.cli.main import run
from app.cli.window import SAMPLE, sample_text

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture
def bad_file(tmp_path):
    path = tmp_path / "bad.toml"
    path.write_text('format = 1\n[frame]\nlength = "9 banana"\nheigth = 700\n', encoding="utf-8")
    return path


def test_the_default_sample_is_the_sample_that_ships():
    assert sample_text() == (ROOT / "samples" / SAMPLE).read_text(encoding="utf-8")


def test_check_is_quiet_about_a_good_brief(sample_file, capsys):
    assert run(["check", str(sample_file)]) == 0
    assert capsys.readouterr().out == ""


def test_check_finds_everything_at_once(bad_file, capsys):
    assert run(["check", str(bad_file)]) == 2
    lines = capsys.readouterr().out.splitlines()
    assert any("length" in line and ":3" in line for line in lines)
    assert any("heigth" in line and ":4" in line for line in lines)


def test_figures_json_is_the_contract(sample_file, capsys):
    assert run(["figures", str(sample_file), "--json"]) == 0
    whole = json.loads(capsys.readouterr().out)
    assert whole["format"] == 1 and whole["title"]
    ids = [f["id"] for f in whole["figures"]]
    assert {"height.work_line", "mass.frame", "mass.total", "sway.stiffness_x", "modes.1"} <= set(ids)
    assert len(ids) == len(set(ids))
    keys = {"id", "label", "value", "unit", "limit", "verdict", "source", "assumed"}
    assert all(set(f) == keys for f in whole["figures"])


def test_figures_as_text(sample_file, capsys):
    assert run(["figures", str(sample_file)]) == 0
    out = capsys.readouterr().out
    assert "mass.total" in out and "kg" in out


def test_the_model_can_be_repeated_from_its_file(sample_file, tmp_path, capsys):
    """The reactions of the written self-weight case carry the loads it writes down."""
    target = tmp_path / "model.json"
    assert run(["figures", str(sample_file), "--model", str(target)]) == 0
    model = json.loads(target.read_text(encoding="utf-8"))
    assert model["format"] == 1
    assert model["units"] == {"length": "mm", "force": "N", "stress": "MPa", "mass": "kg"}
    count = len(model["nodes"])
    assert all(0 <= e["i"] < count and 0 <= e["j"] < count for e in model["elements"])
    assert {e["section"] for e in model["elements"]} <= set(model["sections"])
    for case in model["cases"]:
        applied = np.sum([load["F"][:3] for load in case["loads"]], axis=0)
        carried = np.sum([r["F"][:3] for r in case["reactions"]], axis=0)
        assert np.allclose(applied + carried, 0, atol=1e-3 * max(1.0, np.abs(applied).max())), case["name"]
        assert len(case["displacements"]) == count
    assert len(model["modes_hz"]) >= 1


def test_why_shows_the_working(sample_file, capsys):
    assert run(["why", str(sample_file), "mass.total"]) == 0
    out = capsys.readouterr().out
    assert "id        mass.total" in out and "source" in out


def test_why_names_the_nearest_figure(sample_file, capsys):
    assert run(["why", str(sample_file), "mass.totl"]) == 2
    err = capsys.readouterr().err
    assert "mass.total" in err and len(err.splitlines()) == 1


def test_packet_is_whole_and_is_not_overwritten(sample_file, tmp_path, capsys):
    folder = tmp_path / "packet"
    assert run(["packet", str(sample_file), "-o", str(folder)]) == 0
    names = {p.name for p in folder.iterdir()}
    assert {"sheets.pdf", "frame.dxf", "cut-list.csv", "order.csv"} <= names
    assert any(n.endswith(".svg") for n in names)
    with (folder / "cut-list.csv").open(encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    assert rows and all(float(r["length_mm"]) > 0 for r in rows)
    stamp = (folder / "sheets.pdf").stat().st_mtime_ns
    capsys.readouterr()
    assert run(["packet", str(sample_file), "-o", str(folder)]) == 2
    assert "--force" in capsys.readouterr().err
    assert (folder / "sheets.pdf").stat().st_mtime_ns == stamp
    assert run(["packet", str(sample_file), "-o", str(folder), "--force"]) == 0
    assert {p.name for p in folder.iterdir()} == names
    assert [p.name for p in tmp_path.iterdir() if p.name.startswith(".")] == [], "nothing half is left"


def test_the_packet_holds_the_drilling_template_at_full_size(sample_file, tmp_path):
    ezdxf, pymupdf = pytest.importorskip("ezdxf"), pytest.importorskip("pymupdf")
    folder = tmp_path / "packet"
    assert run(["packet", str(sample_file), "-o", str(folder)]) == 0
    drawing = ezdxf.readfile(folder / "template.dxf")
    found = np.array(sorted(tuple(e.dxf.center)[:2] for e in drawing.modelspace().query("CIRCLE")))
    given = np.array([[-460, -75], [-460, 75], [420, -75], [420, 75]], dtype=float)  # as the sample says
    assert found - found[0] == pytest.approx(given - given[0])
    with pymupdf.open(folder / "template.pdf") as paper:
        assert paper.page_count > 2
        assert all("it must be 100.0 mm" in page.get_text() for page in list(paper)[1:])


@pytest.mark.parametrize("name", ["workbench", "surface-plate"])
def test_without_holes_there_is_no_template(name, tmp_path):
    folder = tmp_path / "packet"
    assert run(["packet", str(ROOT / "samples" / f"{name}.toml"), "-o", str(folder)]) == 0
    assert (folder / "sheets.pdf").exists()
    assert not list(folder.glob("template*"))


def test_force_leaves_a_foreign_folder_alone(sample_file, tmp_path, capsys):
    folder = tmp_path / "photos"
    folder.mkdir()
    (folder / "holiday.txt").write_text("keep me", encoding="utf-8")
    assert run(["packet", str(sample_file), "-o", str(folder), "--force"]) == 2
    assert (folder / "holiday.txt").read_text(encoding="utf-8") == "keep me"
    assert len(capsys.readouterr().err.splitlines()) == 1


def test_a_failing_packet_leaves_nothing(sample_file, tmp_path, monkeypatch, capsys):
    import framecore.sheets

    def broken(*_args):
        raise OSError(28, "no room left", "sheets.pdf")

    monkeypatch.setattr(framecore.sheets, "write_pdf", broken)
    assert run(["packet", str(sample_file), "-o", str(tmp_path / "out")]) == 2
    assert [p.name for p in tmp_path.iterdir()] == [sample_file.name]
    assert "no room left" in capsys.readouterr().err


@pytest.mark.parametrize(
    "arguments",
    [
        ["check"],
        ["check", "missing.toml"],
        ["figures", "BAD"],
        ["why", "BAD", "mass.total"],
        ["packet", "BAD", "-o", "OUT"],
        ["packet", "GOOD"],
        ["packet", "GOOD", "-o", "no/such/parent/out"],
        ["figures", "GOOD", "--nonsense"],
        ["figures", "BINARY"],
        ["check", "FOLDER"],
        ["--nonsense"],
        ["one.toml", "two.toml"],
    ],
)
def test_bad_input_is_one_clear_line_each(arguments, sample_file, bad_file, tmp_path, capsys):
    binary = tmp_path / "binary.toml"
    binary.write_bytes(b"\xff\xfe\x00\x80")
    words = {
        "BAD": bad_file,
        "GOOD": sample_file,
        "OUT": tmp_path / "out",
        "BINARY": binary,
        "FOLDER": tmp_path,
    }
    assert run([str(words.get(a, a)) for a in arguments]) == 2
    err = capsys.readouterr().err
    assert err and "Traceback" not in err
    assert all(line.startswith("standwright: ") for line in err.splitlines())
    assert not (tmp_path / "out").exists()


def test_a_fault_of_the_program_is_code_1(sample_file, monkeypatch, capsys):
    import framecore.stand

    def broken(_brief):
        raise RuntimeError("made up")

    monkeypatch.setattr(framecore.stand, "evaluate", broken)
    assert run(["figures", str(sample_file)]) == 1
    err = capsys.readouterr().err
    assert "made up" in err and len(err.splitlines()) == 1
    assert run(["figures", str(sample_file), "--debug"]) == 1
    assert "Traceback" in capsys.readouterr().err


def _no_screen() -> dict[str, str]:
    hidden = ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM")
    return {k: v for k, v in os.environ.items() if k not in hidden} | {"PYTHONPATH": str(ROOT)}


def test_without_a_screen_the_packet_is_written(sample_file, tmp_path):
    done = subprocess.run(
        [sys.executable, "-m", "app", str(sample_file)],
        cwd=tmp_path, env=_no_screen(), capture_output=True, text=True, check=False, timeout=120,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    assert "no screen" in done.stderr
    assert (tmp_path / "lathe-packet" / "sheets.pdf").exists()


def test_heavy_modules_wait_until_they_are_used():
    code = (
        "import sys, app.window, app.cli.main;"
        "print(sorted({'ezdxf','reportlab','shapely','trimesh','pyqtgraph','manifold3d'} & set(sys.modules)))"
    )
    done = subprocess.run(
        [sys.executable, "-c", code],
        cwd=ROOT, env=dict(os.environ), capture_output=True, text=True, check=False, timeout=120,
    )  # fmt: skip
    assert done.stdout.strip() == "[]", done.stdout + done.stderr

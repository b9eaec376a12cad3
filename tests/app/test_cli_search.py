"""The command search as scripts see it."""

from __future__ import annotations

import json
from types import SimpleNamespace

from app.cli.main import run
from app.cli.search import Teller

FEW = ["--vary", "frame.sections.lower_rails=SHS 30x30x3, SHS 40x40x3", "--vary", "frame.lower_ring=180, 220"]


def test_json_is_the_contract(sample_file, capsys):
    assert run(["search", str(sample_file), *FEW, "--json"]) == 0
    whole = json.loads(capsys.readouterr().out)
    assert whole["sure"] and isinstance(whole["hurdles"], list)
    assert whole["format"] == 1 and whole["size"] == 4 == whole["looked"] and whole["proven"] is True
    assert whole["front"] and whole["present"]["changes"] == []
    numbers = {"cost", "mass", "sway", "twist", "bed", "first_mode", "clearance", "gap", "hours", "welds"}
    keys = {"changes", "keys", *numbers, "stops", "looks"}
    assert whole["aims"] == ["cost", "mass", "hours", "sway", "twist", "frequency"]
    assert all(c["hours"] > 0 and c["gap"] >= 0 for c in whole["front"])
    assert all(set(c) == keys for c in (whole["present"], *whole["front"]))
    lightest = min(whole["front"], key=lambda c: c["mass"])
    assert lightest["keys"]["frame.sections.lower_rails"] == "SHS 30x30x3"
    assert lightest["mass"] < whole["present"]["mass"]


def test_table_says_what_changes_and_how_it_was_found(sample_file, capsys):
    assert run(["search", str(sample_file), *FEW]) == 0
    out = capsys.readouterr().out
    assert "Lower rails: SHS 30x30x3 instead of SHS 40x40x3" in out and "All 4 stands were looked at" in out


def test_what_cannot_vary_is_one_line(sample_file, capsys):
    for wrong, word in (
        ("machine.mass=100", "cannot vary"), ("frame.sections.leg", "frame.sections.legs"),
        ("frame.sections.legs=SHS 51x51x3", "frame.sections.legs"), ("frame.lower_ring=1..2..3", "range"),
        ("frame.lower_ring=", "no options"),
    ):  # fmt: skip
        assert run(["search", str(sample_file), "--vary", wrong]) == 2
        err = capsys.readouterr().err
        assert err.count("\n") == 1 and word in err
    assert run(["search", str(sample_file), "--budget", "0"]) == 2
    assert "nearest 1" in capsys.readouterr().err
    assert run(["search", str(sample_file), "--aim", "colour"]) == 2
    assert "allowed: cost, mass" in capsys.readouterr().err


def test_aims_are_those_asked_for(sample_file, capsys):
    assert run(["search", str(sample_file), *FEW, "--aim", "mass", "--json"]) == 0
    whole = json.loads(capsys.readouterr().out)
    assert whole["aims"] == ["mass"] and len(whole["front"]) == 1 and whole["front"][0]["hours"] is None


def test_progress_tells_how_far_how_long_and_the_best(sample_file, capsys):
    assert run(["search", str(sample_file), *FEW, "--progress"]) == 0
    err = capsys.readouterr().err
    assert "looked at 4 of 4, at most" in err and "the cheapest" in err and " kg" in err
    assert run(["search", str(sample_file), *FEW]) == 0
    assert capsys.readouterr().err == ""  # scripts get none unless they ask


def test_time_left_is_that_of_the_pace_so_far(capsys):
    now = iter([0.0, 2.0, 2.1, 5.0, 9.0])
    tell = Teller("EUR", lambda: next(now))
    best, more = (SimpleNamespace(cost=100.0, mass=40.0, stops=("modes.1",)),), (SimpleNamespace(cost=90.0, mass=38.0),)
    tell(SimpleNamespace(stage="looking", looked=100, of=400, best=best, sketched=more))
    told = capsys.readouterr().err
    assert "100 of 400, at most 6 s" in told and "stop: 1" in told and "1 not yet checked, the cheapest 90.00 EUR" in told
    tell(SimpleNamespace(stage="looking", looked=101, of=400, best=best, sketched=()))
    assert capsys.readouterr().err == ""  # a line was written a moment ago
    for done in (20, 30):
        tell(SimpleNamespace(stage="checking", looked=done, of=100, best=best, sketched=()))
    assert "checked 30 of 100, at most 28 s" in capsys.readouterr().err  # ten in four seconds, seventy to go

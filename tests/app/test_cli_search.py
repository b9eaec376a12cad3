"""The command search as scripts see it."""

from __future__ import annotations

import json

from app.cli.main import run

FEW = ["--vary", "frame.sections.lower_rails=SHS 30x30x3, SHS 40x40x3", "--vary", "frame.lower_ring=180, 220"]


def test_json_is_the_contract(sample_file, capsys):
    assert run(["search", str(sample_file), *FEW, "--json"]) == 0
    whole = json.loads(capsys.readouterr().out)
    assert whole["format"] == 1 and whole["size"] == 4 == whole["looked"] and whole["proven"] is True
    assert whole["front"] and whole["present"]["changes"] == []
    keys = {"changes", "keys", "cost", "mass", "sway", "twist", "bed", "first_mode", "clearance", "welds", "stops", "looks"}
    assert all(set(c) == keys for c in (whole["present"], *whole["front"]))
    lightest = min(whole["front"], key=lambda c: c["mass"])
    assert lightest["keys"]["frame.sections.lower_rails"] == "SHS 30x30x3"
    assert lightest["mass"] < whole["present"]["mass"]


def test_table_says_what_changes_and_how_it_was_found(sample_file, capsys):
    assert run(["search", str(sample_file), *FEW]) == 0
    out = capsys.readouterr().out
    assert "Lower rails SHS 30x30x3 instead of SHS 40x40x3" in out and "All 4 stands were looked at" in out


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

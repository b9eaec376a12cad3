"""What is read, what is refused and how: sentences with line, field and the nearest sensible value."""

from __future__ import annotations

import os
import random
import re
from pathlib import Path

import pytest

from framecore.brief import load_brief, read_brief
from framecore.errors import BriefError, Severity

SAMPLES = sorted(Path(__file__).parents[3].joinpath("samples").glob("*.toml"))


@pytest.mark.parametrize("path", SAMPLES, ids=lambda p: p.stem)
def test_samples_read_without_a_word(path):
    assert read_brief(path.read_bytes()).findings == ()


def test_an_empty_brief_is_all_typical_and_says_so():
    reading = read_brief("")
    assert [f.code for f in reading.findings] == ["brief.format"]
    assert reading.brief.machine.mass == 140
    assert "machine.mass" in reading.brief.assumed


def test_lengths_as_typed():
    brief = read_brief('format=1\nunits="inch"\n[frame]\nlength="29 1/2 in"\ndepth="0.75 m"\nheight=800\n').brief
    assert brief.frame.length == pytest.approx(29.5 * 25.4)
    assert brief.frame.depth == 750.0
    assert brief.frame.height == 800.0


def test_pattern_by_rows_and_columns():
    text = 'format=1\n[machine]\nholes={columns=2, rows=2, pitch_x="14 in", pitch_y=100}\n'
    holes = read_brief(text).brief.machine.holes
    assert holes == ((0, 0), (pytest.approx(355.6), 0), (0, 100), (pytest.approx(355.6), 100))


@pytest.mark.parametrize(
    ("text", "field", "line", "nearest"),
    [
        ("[frame]\nheigth = 3", "frame.heigth", 3, "height"),
        ("[frame]\ndepth = 1e308", "frame.depth", 3, "2000 mm"),
        ("[machine]\nmass = -3", "machine.mass", 3, "0 kg"),
        ('[machine]\nkind = "lath"', "machine.kind", 3, "lathe"),
        ("[feet]\nheight = nan", "feet.height", 3, "10 mm"),
        ("[frame]\nshelf_slats = 99", "frame.shelf_slats", 3, "30"),
        ("[frame]\nlength = true", "frame.length", 3, "250 mm"),
        ("frame = 3", "frame", 2, ""),
        ('[frame.sections]\nlegs = "SHS 51x50x3"', "frame.sections.legs", 3, "SHS 50x50x3"),
        ("[machine]\nholes = [[1, 2], [3]]", "machine.holes", 3, ""),
        ("[machine]\nat = [1, 2, 3]", "machine.at", 3, ""),
        ("[machine]\ncentre_of_mass = [1, 2]", "machine.centre_of_mass", 3, ""),
    ],
)
def test_refusals(text, field, line, nearest):
    reading = read_brief("format = 1\n" + text)
    assert reading.brief is None
    (finding,) = reading.findings
    assert (finding.field, finding.line, finding.nearest) == (field, line, nearest)
    assert finding.message.endswith((".", "?"))


def test_all_refusals_come_at_once():
    reading = read_brief('format=1\nunits="yards"\n[frame]\nlength="x"\ndepth=-1\n[machine]\nmass="heavy"\n')
    assert {f.field for f in reading.findings} == {"units", "frame.length", "frame.depth", "machine.mass"}


def test_a_newer_format_is_refused_politely():
    reading = read_brief("format = 2")
    assert reading.findings[0].code == "brief.newer"
    assert reading.brief is None


def test_load_brief_raises_with_every_finding(tmp_path):
    with pytest.raises(BriefError, match="could not be opened"):
        load_brief(tmp_path / "none.toml")


MUTANTS = int(os.environ.get("STANDWRIGHT_MUTANTS", "2000"))
# In the place of a value: every type TOML has, and what a hand types by mistake.
WRONG = (
    b"-5", b"1e9", b"nan", b"inf", b"0", b"3.7", b"true", b"'x'", b"''", b"[]", b"{}", b"{a = 1}", b"[[1, 2], [3]]",
    b"[1, 'a']",
    b"1979-05-27", b"'12 ft'", b"'SHS 51x51x3'", b"'from elbow'", b"'13.5 ga'",
)  # fmt: skip


def one_sentence(finding):
    """A finding is one sentence with its place; a value that is refused says what is allowed, a range what is nearest."""
    assert finding.message.strip().endswith((".", "?")), finding
    assert not re.search(r"[a-z)][.?!] [A-Z]", finding.message.replace("in the catalogue. Did", "")), finding
    assert "Traceback" not in finding.message and "\n" not in finding.message, finding
    if finding.code != "brief.file":
        assert finding.field and finding.allowed, finding
        assert finding.line or "is missing" in finding.message, finding
        assert finding.nearest or " must be " not in finding.message or not re.search(r"\d to \d", finding.allowed), finding


@pytest.mark.parametrize(("gauge", "near"), [("13.5 ga", "14 ga"), ("99 gauge", "20 ga"), ("3 ga.", "7 ga")])
def test_a_gauge_that_nobody_rolls_is_told_the_gauges_there_are_and_the_nearest(gauge, near):
    reading = read_brief(f'[braces]\npanel_thickness = "{gauge}"\n'.encode())
    (stop,) = (f for f in reading.findings if f.severity is Severity.STOP)
    one_sentence(stop)
    assert stop.message.endswith(f"not '{gauge}'; the nearest is {near}.") and stop.nearest == near
    assert "0.8 mm to 10 mm, or one of the gauges 20, 18," in stop.message and "?" not in stop.message
    assert read_brief(f'[braces]\npanel_thickness = "{near}"\n'.encode()).brief is not None


@pytest.mark.timeout(3600)
def test_mutated_values_never_raise():
    """Copies of all samples with wrong values in the place of right ones; ``STANDWRIGHT_MUTANTS`` says how many."""
    rng = random.Random(8)
    texts = [p.read_bytes().split(b"\n") for p in SAMPLES]
    refused = 0
    for _ in range(MUTANTS):
        lines = list(rng.choice(texts))
        for k in rng.sample([k for k, line in enumerate(lines) if b" = " in line], rng.randint(1, 4)):
            lines[k] = lines[k].split(b" = ")[0] + b" = " + rng.choice(WRONG)
        reading = read_brief(b"\n".join(lines))
        refused += reading.brief is None
        for finding in reading.findings:
            one_sentence(finding)
    print(f"\n{MUTANTS} briefs with wrong values, {refused} refused")
    assert 0.5 * MUTANTS < refused < MUTANTS


@pytest.mark.timeout(3600)
def test_mutated_briefs_never_raise():
    """Damaged copies of a sample give a brief or sentences; ``STANDWRIGHT_MUTANTS`` says how many."""
    good = SAMPLES[0].read_bytes()
    rng = random.Random(7)
    junk = [
        b"nan",
        b"1e308",
        b"-1",
        b'"',
        b"[",
        b"]",
        b"{",
        b"\x00",
        b"\xff",
        b"=",
        b"true",
        b"1979-05-27",
        b"\n[frame]\n",
    ]
    refused = 0
    for _ in range(MUTANTS):
        text = bytearray(good)
        for _ in range(rng.randint(1, 4)):
            at = rng.randrange(len(text))
            text[at : at + rng.randint(0, 6)] = rng.choice(junk)
        reading = read_brief(bytes(text))
        stops = [f for f in reading.findings if f.severity is Severity.STOP]
        assert (reading.brief is None) == bool(stops)
        refused += reading.brief is None
        for f in reading.findings:
            one_sentence(f)
    print(f"\n{MUTANTS} damaged briefs, {refused} refused")
    assert 0.5 * MUTANTS < refused < MUTANTS

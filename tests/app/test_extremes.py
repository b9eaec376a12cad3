"""Stands far from the usual: an answer in numbers with its whole packet, or sentences; never anything else.

``STANDWRIGHT_PACKETS=50 pytest -s tests/app/test_extremes.py`` writes the packets of fifty random stands.
"""

from __future__ import annotations

import os
from collections import Counter

import pytest

from app.cli.packet import write_packet
from app.cli.report import figures_json
from framecore.brief import read_brief
from framecore.errors import BriefError, CuttingError, LayoutError
from framecore.stand import Stand, evaluate
from tests.app.test_hostile_names import drawings_are_whole, lists_hold_no_formula, names_are_plain
from tests.unit.brief.test_reading import one_sentence
from tests.unit.stand.random_briefs import LAYOUTS, random_text
from tests.unit.stand.test_random_briefs import sensible

PACKETS = int(os.environ.get("STANDWRIGHT_PACKETS", "2"))
HUNDRED = "[" + ", ".join(f"[{400 * (k % 2)}, {14 * (k // 2)}]" for k in range(100)) + "]"
FOUR = "[[0, 0], [400, 0], [0, 200], [400, 200]]"


def brief(layout="four-post", holes=FOUR, machine="", frame="", rest=""):
    return (
        f'format = 1\n[machine]\nkind = "lathe"\nholes = {holes}\n{machine}\n[frame]\nlayout = "{layout}"\n{frame}\n{rest}'
    )


# Name -> a brief that may give a stand; what is refused must be refused in sentences.
CASES = {
    "10 mm": brief(frame="length = 10\ndepth = 10\nheight = 10"),
    "30 m": brief(frame='length = "30 m"\ndepth = "30 m"\nheight = "30 m"'),
    "the smallest allowed": brief(frame="length = 250\ndepth = 200\nheight = 200"),
    "the longest allowed": brief(frame="length = 4000\ndepth = 2000\nheight = 1600"),
    "0.1 kg": brief(machine="mass = 0.1"),
    "3 t": brief(machine="mass = 3000"),
    "50 t": brief(machine="mass = 50000"),
    "no hole": brief(holes="[]"),
    "one hole": brief(holes="[[0, 0]]"),
    "two holes": brief(holes="[[0, 0], [300, 0]]"),
    "two holes on one spot": brief(holes="[[0, 0], [0, 0]]"),
    "holes in one line": brief(holes="[[0, 0], [100, 0], [200, 0], [300, 0]]"),
    "a hundred holes": brief(holes=HUNDRED, frame="depth = 900"),
    "no limits": brief(rest="[limits]\npush = 0\n"),
    "the heaviest steel": brief(rest='[frame.sections]\nlegs = "SHS 100x100x4"\ntop_rails = "SHS 100x100x4"\n'),
    "the thinnest steel": brief(rest='[frame.sections]\nlegs = "SHS 20x20x1.5"\ntop_rails = "SHS 20x20x1.5"\n'),
    "one short bar": brief(rest="[steel]\nsold = [{length = 300}]\n"),
    "one long bar": brief(rest="[steel]\nsold = [{length = 12000}]\n"),
}


def answered(text):
    """The stand, or what there is to say; anything else fails."""
    reading = read_brief(text)
    for finding in reading.findings:
        one_sentence(finding)
    if reading.brief is None:
        assert reading.findings
        return reading.findings
    said: tuple[str, ...] = ()
    try:
        return evaluate(reading.brief)
    except (BriefError, LayoutError) as fault:
        said = tuple(f.message for f in fault.findings)
    except CuttingError as fault:
        said = (f"{fault}.",)  # the window makes a sentence of it
    assert said and all(len(t) > 20 and t.endswith((".", "?")) for t in said), said
    return said


def packet_is_whole(stand, folder):
    sensible(stand)
    figures_json(stand)
    write_packet(stand, folder, force=False)
    names_are_plain(folder)
    lists_hold_no_formula(folder)
    drawings_are_whole(folder)


@pytest.mark.parametrize("name", CASES)
def test_far_from_the_usual(tmp_path, name):
    got = answered(CASES[name])
    if isinstance(got, Stand):
        packet_is_whole(got, tmp_path / "packet")


def test_many_of_the_cases_give_a_stand():
    given = {name for name, text in CASES.items() if isinstance(answered(text), Stand)}
    assert {"0.1 kg", "3 t", "one hole", "a hundred holes", "no hole"} <= given, given
    assert not {"10 mm", "30 m", "50 t"} & given


@pytest.mark.parametrize("size", ["small", "large"])
@pytest.mark.parametrize("layout", LAYOUTS)
def test_every_layout_at_the_ends_of_its_sizes(tmp_path, layout, size):
    sizes = "length = 300\ndepth = 250\nheight = 300" if size == "small" else "length = 3900\ndepth = 1900\nheight = 1550"
    got = answered(brief(layout=layout, frame=sizes))
    if isinstance(got, Stand):
        packet_is_whole(got, tmp_path / "packet")


@pytest.mark.timeout(7200)
def test_packets_of_random_stands(tmp_path):
    done: Counter[str] = Counter()
    seed = 700_000
    while done.total() < PACKETS:
        seed += 1
        text = random_text(seed)
        try:
            got = answered(text)
            if isinstance(got, Stand):
                folder = tmp_path / f"packet-{seed}"
                packet_is_whole(got, folder)
                done[got.brief.frame.layout] += 1
                for path in sorted(folder.rglob("*"), reverse=True):
                    path.rmdir() if path.is_dir() else path.unlink()
        except Exception as fault:
            raise AssertionError(f"seed {seed}: {fault!r}\n{text}") from fault
    print(f"\n{done.total()} packets of {seed - 700_000} random briefs: {dict(done)}")

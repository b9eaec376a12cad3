"""Lifting and carrying, read back: every lift, hook and door as the work plan has them."""

from __future__ import annotations

import math
from functools import cache
from pathlib import Path

from framecore.brief import load_brief
from framecore.sheets.drawing.model import Text
from framecore.sheets.lists.carrying import SLING, facts
from framecore.sheets.lists.work_sheet import pages
from framecore.sheets.words import notes
from framecore.stand import evaluate

SAMPLES = Path(__file__).parents[3] / "samples"


@cache
def stand():
    return evaluate(load_brief(SAMPLES / "long-lathe-pedestals.toml"))


def said():
    return " ".join(p.text for page in pages(stand(), "A3") for p in page.primitives if isinstance(p, Text))


def test_everything_lifted_is_listed_with_its_mass():
    for lift in stand().work().lifts:
        assert lift.name in said() and f"{lift.mass:.1f} kg" in said()


def test_the_hook_is_seat_machine_sling_and_room():
    boxes = stand().brief.machine.outline
    tall = max(b.at[2] + b.size[2] for b in boxes) - min(b.at[2] for b in boxes)
    hook = stand().frame.seat + tall + SLING + 100.0
    assert f"at least {round(hook, 1):g} mm" in facts(stand())[0]


def test_the_sling_leans_no_more_than_half_a_right_angle():
    boxes = stand().brief.machine.outline
    spread = max(b.at[0] + b.size[0] for b in boxes) - min(b.at[0] for b in boxes)
    assert f"at least {10 * math.ceil(spread / math.sqrt(2) / 10):g} mm long" in facts(stand())[1]
    assert "45°" in facts(stand())[1]


def test_paint_and_notes_are_all_there():
    for coat in stand().work().finish.coats:
        assert coat.name in said() and f"{coat.litres:.2f} l" in said()
    for note in notes(stand()):
        assert note.split(".")[0].split()[0] in said()


def test_why_one_guideline_differs_from_another_is_said():
    """Four people may carry the stand's share and not the machine's: the machine is lifted higher."""
    whole = {x.name: x.text for x in stand().work().lifts}
    of_four = {n: float(t.split("guideline of ")[1].split()[0]) for n, t in whole.items() if "for 4 people" in t}
    assert of_four["machine"] < of_four["stand"]
    assert "less, the farther a thing is lifted" in said()

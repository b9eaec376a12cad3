"""What is wrong with a brief is told in the language that is spoken, and keys and typed values stay as they are typed."""

from __future__ import annotations

import random
import re
from pathlib import Path

import pytest

from framecore.brief import read_brief
from framecore.words import languages, listen, say, speaking
from tests.unit.brief.test_reading import SAMPLES, WRONG

TRANSLATED = [code for code in languages() if code != "en"]
BRIEFS = 150


def spoilt(rng: random.Random, path: Path) -> bytes:
    """A sample with wrong values in the place of right ones, and now and then a key that is none."""
    lines = path.read_bytes().split(b"\n")
    for k in rng.sample([k for k, line in enumerate(lines) if b" = " in line], 3):
        key = lines[k].split(b" = ")[0] + (b"x" if rng.random() < 0.2 else b"")
        lines[k] = key + b" = " + rng.choice(WRONG)
    return b"\n".join(lines)


@pytest.mark.parametrize("code", TRANSLATED)
def test_every_refusal_is_said(code):
    rng = random.Random(5)
    heard: set[str] = set()
    told = 0
    with speaking(code), listen(heard.add):
        for _ in range(BRIEFS):
            for finding in read_brief(spoilt(rng, rng.choice(SAMPLES))).findings:
                said = say(finding.message)
                told += 1
                assert finding.field in said or finding.code == "brief.format"
                for quoted in re.findall(r"not ('[^']*')", finding.message):
                    assert quoted in said
    assert told > BRIEFS
    assert sorted(heard) == []

"""A working written out later says what it would have said at once."""

from __future__ import annotations

import pytest

from framecore.figures import SOURCES, Answers
from tests.unit.figures.test_workings import SAMPLES, stand


@pytest.mark.parametrize("path", SAMPLES, ids=lambda p: p.stem)
def test_nothing_a_working_speaks_of_moves_on_before_it_is_asked(path):
    s = stand(path)
    answers = Answers(brief=s.brief, height=s.height, frame=s.frame, solids=s.solids, strength=s.strength, shop=s.shop)
    for source in SOURCES:
        at_once = [(f.id, f.working) for f in source(answers)]
        later = [(f.id, f.working) for f in list(source(answers))]
        assert at_once == later

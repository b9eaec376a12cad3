"""Stands whose work plan the tests look at, each evaluated once."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from framecore import evaluate, load_brief
from framecore.brief import read_brief
from framecore.errors import CuttingError, LayoutError, SolverError
from framecore.shop.work import Work
from framecore.stand import Stand
from framecore.stand.work import work_of
from tests.unit.stand.random_briefs import random_text

SAMPLES = tuple(p.stem for p in sorted((Path(__file__).parents[3] / "samples").glob("*.toml")))
RANDOM = range(170)


@cache
def stand(name: str) -> Stand:
    return evaluate(load_brief(Path(__file__).parents[3] / "samples" / f"{name}.toml"))


@cache
def work(name: str) -> Work:
    return work_of(stand(name))


@cache
def random_stand(seed: int) -> Stand | None:
    """A stand of a random brief, None where it cannot be built."""
    brief = read_brief(random_text(seed)).brief
    if brief is None:
        return None
    try:
        return evaluate(brief)
    except (LayoutError, SolverError, CuttingError):
        return None


def of_text(text: str) -> Stand:
    brief = read_brief(text).brief
    assert brief is not None
    return evaluate(brief)

"""Limits that even the best stands miss, and which single change beyond the search would take each away."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from framecore.brief.fields import BY_PATH
from framecore.brief.model import Brief
from framecore.errors import FramecoreError
from framecore.figures.model import Figure, Verdict
from framecore.figures.words import limit_words, quantity
from framecore.frame.model import Frame
from framecore.search.candidate import Candidate
from framecore.search.changes import Change, single_changes
from framecore.search.space import with_value
from framecore.search.words import change_words
from framecore.stand import Evaluator, Stand

# Pads that no figure but a limit asks for, mm: tried where they are thicker than the present one.
_PAD = "feet.pad_thickness"
_THICKER = (15.0, 20.0, 25.0, 30.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Hurdle:
    """One limit that the best stands found still miss.

    ``id``, ``label``, ``unit``, ``value``, ``limit`` of the figure on the first of them; ``help`` the change to that stand that
    takes the limit away at the least cost of steel, or else brings it nearest, None where none that was tried does; ``after``
    the value then; ``cleared`` whether the limit no longer stands in the way; ``words`` all of it in a sentence or two.
    """

    id: str
    label: str
    unit: str
    value: float
    limit: float
    help: Change | None
    after: float | None
    cleared: bool
    words: tuple[str, ...]


def hurdles(best: Candidate, *, tell: Callable[[int, int], None], stop: Callable[[], bool]) -> tuple[Hurdle, ...]:
    """Return the limits that a stand misses, each with what would help: every change is evaluated in full.

    ``tell`` how many of how many changes were tried; ``stop`` asked between them.
    """
    if not best.stops or stop():
        return ()
    evaluator = Evaluator()
    stand = evaluator.evaluate(best.brief)
    changes = list(_changes(best.brief, stand.frame))
    tried: list[tuple[Change, Stand]] = []
    for n, change in enumerate(changes):
        if stop():
            break
        try:
            other = evaluator.evaluate(change.brief)
        except FramecoreError:
            continue
        finally:
            tell(n + 1, len(changes))
        if other.buildable:
            tried.append((change, other))
    return tuple(_hurdle(stand.figures.live[name], stand, tried) for name in best.stops)


def _changes(brief: Brief, frame: Frame) -> Iterator[Change]:
    yield from single_changes(brief, frame)
    now = brief.feet.pad_thickness
    for value in (v for v in _THICKER if now < v <= BY_PATH[_PAD].kind.high):
        yield Change(words=change_words(brief, _PAD, now, value), values=((_PAD, value),), brief=with_value(brief, _PAD, value))


def _hurdle(figure: Figure, stand: Stand, tried: list[tuple[Change, Stand]]) -> Hurdle:
    """The cheapest change that clears the limit and misses no other; else the one that comes nearest."""
    before = {n for n, f in stand.figures.live.items() if f.verdict is Verdict.STOP}
    clear, near = [], []
    for n, (change, other) in enumerate(tried):
        live = other.figures.live
        if (after := live.get(figure.id)) is None:
            continue
        stops = {i for i, f in live.items() if f.verdict is Verdict.STOP}
        if stops - before:
            continue
        if figure.id not in stops:
            clear.append((other.shop.cost, n, change, after))
        elif (gain := _gain(figure, after)) > 0:
            near.append((-gain, n, change, after))
    best = min(clear or near, key=lambda one: one[:2], default=None)
    units = stand.brief.units
    stands = f"{figure.label}: {quantity(figure.value, figure.unit, units)}, {limit_words(figure, units)}."
    if best is None:
        helps = "No single change that was tried helps."
    else:
        value = quantity(best[3].value, figure.unit, units)
        helps = (
            f"It would help: {best[2].words} ({value})." if clear
            else f"No single change is enough; most is gained by: {best[2].words} ({value})."
        )  # fmt: skip
    return Hurdle(
        id=figure.id, label=figure.label, unit=figure.unit, value=figure.value, limit=float(figure.limit or 0.0),
        help=best[2] if best else None, after=best[3].value if best else None, cleared=bool(clear), words=(stands, helps),
    )  # fmt: skip


def _gain(before: Figure, after: Figure) -> float:
    """By how much a figure came nearer to its limit."""
    if before.limit is None or after.limit is None:
        return 0.0
    return abs(before.value - before.limit) - abs(after.value - after.limit)

"""What earlier rounds taught: how much of a move really reaches the bed, and the record they are kept in.

The model says how the bed answers; the real bed answers by a share of it. One number is learnt, the share r of
seen to predicted change of twist, from a first guess 1 +- 0.5 by Bayes' rule for a straight line through zero:

    1 / sd^2 = 1 / 0.5^2 + sum (p / w)^2,   r = sd^2 (1 / 0.5^2 + sum p q / w^2)

p predicted, q seen, w how close it was read. Source: linear regression with a normal prior; from memory.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from framecore.errors import BriefError, Finding

FIRST_SHARE, FIRST_SPREAD = 1.0, 0.5  # the model alone, assumed
LEAST_SHARE = 0.1  # below this the screws do not move the bed and no move follows
FORMAT = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Learned:
    """The share of a predicted change that is really seen: ``share`` and its spread ``sd``, from ``rounds`` rounds."""

    share: float = FIRST_SHARE
    sd: float = FIRST_SPREAD
    rounds: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Round:
    """One round at the machine.

    Attributes
    ----------
    kind : screws that were moved; ``places`` the stations, mm from the left-hand mounts
    readings : as typed; ``twist``, ``within`` (r,) mm/m of each station after the first against it
    moves : name -> mm; ``change`` (r,) what the model alone, share 1, predicted for them, mm/m
    when : day and time as written down, "" where none was
    """

    kind: str
    places: tuple[float, ...]
    readings: tuple[str, ...]
    twist: tuple[float, ...]
    within: tuple[float, ...]
    moves: Mapping[str, float]
    change: tuple[float, ...]
    when: str = ""


def learn(rounds: Iterable[Round]) -> Learned:
    """Return what follows from each round and the next one read at the same stations."""
    weight, total, used = 1 / FIRST_SPREAD**2, FIRST_SHARE / FIRST_SPREAD**2, 0
    before: Round | None = None
    for now in rounds:
        if before is not None and before.moves and now.places == before.places:
            used += 1
            for p, t0, t1, w0, w1 in zip(before.change, before.twist, now.twist, before.within, now.within, strict=True):
                w = max(math.hypot(w0, w1), 1e-3)
                weight += (p / w) ** 2
                total += p * (t1 - t0) / w**2
        before = now
    return Learned(share=total / weight, sd=weight**-0.5, rounds=used)


def without(rounds: Sequence[Round], index: int, *, turned: bool) -> tuple[Round, ...]:
    """Return the rounds less one.

    Parameters
    ----------
    turned : its moves were made all the same and only its reading was wrong: they are counted to the round before,
        else what that one foretold would be set against a bed moved further. Of the first round they are lost.
    """
    kept = list(rounds)
    gone = kept.pop(index)
    if turned and index and gone.moves:
        before = kept[index - 1]
        moves = dict(before.moves)
        for name, mm in gone.moves.items():
            moves[name] = moves.get(name, 0.0) + mm
        if before.places == gone.places and before.kind == gone.kind:
            change = tuple(a + b for a, b in zip(before.change, gone.change, strict=True))
            kept[index - 1] = replace(before, moves=moves, change=change)
        else:  # what they did at the other places is not written down: no change foretold teaches nothing
            kept[index - 1] = replace(before, moves=moves, change=(0.0,) * len(before.change))
    return tuple(kept)


def _text(value: str) -> str:
    return '"' + value.replace("\\", "\\\\").replace('"', '\\"') + '"'


def _numbers(values: Iterable[float]) -> str:
    return "[" + ", ".join(f"{v:.6g}" for v in values) + "]"


def record_text(rounds: Iterable[Round], title: str) -> str:
    """Return the record as TOML."""
    lines = [f"# Levelling of {' '.join(title.split())}: rounds in order, tilts in mm/m, moves in mm.", f"format = {FORMAT}"]
    for r in rounds:
        moves = ", ".join(f"{_text(name)} = {mm:.6g}" for name, mm in r.moves.items())
        lines += [
            "", "[[round]]", *([f"when = {_text(r.when)}"] if r.when else []),
            f"kind = {_text(r.kind)}", f"places = {_numbers(r.places)}",
            "readings = [" + ", ".join(_text(t) for t in r.readings) + "]",
            f"twist = {_numbers(r.twist)}", f"within = {_numbers(r.within)}",
            f"moves = {{ {moves} }}" if moves else "moves = {}", f"change = {_numbers(r.change)}",
        ]  # fmt: skip
    return "\n".join(lines) + "\n"


def read_record(values: Mapping[str, Any]) -> tuple[Round, ...]:
    """Return the rounds of a record read as TOML.

    Raises
    ------
    BriefError
        A newer format, or a round that lacks something; one sentence.
    """
    if values.get("format") != FORMAT:
        raise _fault(f"its format is {values.get('format')!r}; allowed: {FORMAT}")
    found = values.get("round", [])
    if not isinstance(found, list):
        raise _fault("“round” must be a list of tables, [[round]]")
    return tuple(_round(k, r) for k, r in enumerate(found, 1))


def _round(number: int, r: Any) -> Round:
    try:
        made = Round(
            kind=str(r["kind"]), places=_floats(r["places"]), readings=tuple(str(t) for t in r["readings"]),
            twist=_floats(r["twist"]), within=_floats(r["within"]),
            moves={str(k): float(v) for k, v in r["moves"].items()}, change=_floats(r["change"]),
            when=str(r.get("when", "")),
        )  # fmt: skip
    except (KeyError, TypeError, ValueError, AttributeError) as problem:
        raise _fault(f"round {number} lacks or spoils {problem}") from problem
    if not len(made.twist) == len(made.within) == len(made.change) == len(made.places) - 1:
        raise _fault(f"round {number} must hold one twist, within and change for each place after the first")
    return made


def _floats(values: Any) -> tuple[float, ...]:
    out = tuple(float(v) for v in values)
    if not all(math.isfinite(v) for v in out):
        raise ValueError("a number that is not finite")
    return out


def _fault(what: str) -> BriefError:
    sentence = f"The levelling record cannot be used: {what}. Mend it, or move it away to start anew."
    return BriefError((Finding(code="seat.record", message=sentence),))

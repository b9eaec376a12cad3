"""The question of one round at the machine and its answer, as the command line and the window both show it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from difflib import get_close_matches

import numpy as np

from framecore.errors import UnitError
from framecore.seat import level as levelling
from framecore.seat.influence import FOOT, SCREW, SHIM, Influence, no_bed
from framecore.seat.learning import Learned, Round, learn
from framecore.seat.level import Advice, ScrewMove, Wanted
from framecore.seat.readings import Level, StationReading, Tilt, zero_error
from framecore.seat.turning_test import MOST_SLENDER, WAYS_SHARE, TurningAnswer, TurningTest, taper_of_twist
from framecore.seat.turning_test import answer as turned_answer
from framecore.units import INCH

READ, BEARING, LEVEL, TWIST, DONE, ELSEWHERE = "read", "bearing", "level", "twist", "done", "elsewhere"
STEP_OF = {BEARING: 1, LEVEL: 2, READ: 3, TWIST: 3, DONE: 3, ELSEWHERE: 3}
CAUSES = ("the headstock's set", "wear of the ways", "bending of the bar", "a mount or foot that does not bear")
LEAST_HAND = 5.0  # degrees that a hand with a spanner can still set (own judgement)
_PARTS = ((0, ""), (0.125, "⅛"), (0.25, "¼"), (1 / 3, "⅓"), (0.5, "½"), (2 / 3, "⅔"), (0.75, "¾"), (0.875, "⅞"), (1, ""))
_QUARTERS = {90: "a quarter turn", 180: "half a turn", 270: "three quarters of a turn"}
_NEAR = 2.0  # degrees that a quarter turn may be off and still be called one


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """What the maker tells.

    Attributes
    ----------
    stations : readings across the bed, left to right, none or two and more
    across, along : tilts of the whole, for the second step; + back and right end higher
    loose : names of feet that turn by hand; ``tried``: all were tried, so no foot hangs as the model has it
    test : two collars, with the axis ``ways`` mm above the ways (0 not known: assumed)
    """

    wanted: Wanted
    level: Level = field(default_factory=Level)
    stations: tuple[StationReading, ...] = ()
    across: Tilt | None = None
    along: Tilt | None = None
    loose: tuple[str, ...] = ()
    tried: bool = False
    test: TurningTest | None = None
    ways: float = 0.0

    @property
    def empty(self) -> bool:
        """Whether nothing was told."""
        return not (self.stations or self.loose or self.across or self.along or self.test)


@dataclass(frozen=True, slots=True, kw_only=True)
class Turn:
    """One screw to be turned.

    ``move`` the figures; ``words`` "a third of a flat, clockwise seen from above"; ``short`` what stands beside it
    on a plan; ``note`` "" or why it needs care.
    """

    move: ScrewMove
    words: str
    short: str
    note: str

    @property
    def up(self) -> bool:
        """Whether it raises the machine."""
        return self.move.mm > 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Expected:
    """What should be read after the moves at ``name``, ``x`` mm from the left-hand mounts.

    ``roll`` of the bed, mm/m; ``laid`` and ``turned`` what the level then shows as laid and turned end for end, its own
    error as it was found included, mm/m; they are alike where that is not known.
    """

    name: str
    x: float
    roll: float
    laid: float
    turned: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Note:
    """A sentence that asks for a look, ``code`` "wipe", "slender", "assumed", "coarse", "below" or "differ"."""

    code: str
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """What to do next.

    Attributes
    ----------
    stage : "bearing", "level", "read" (feet and level are well, now read for twist), "twist", "done", "elsewhere"
    step : 1 to 3, the step it belongs to
    headline : one short sentence; ``advice`` holds all of them and every figure
    turns : screws to be turned; ``expected`` what should be read then
    zero : the level's own error and how far the stations differ on it, mm/m
    turned : what the collars say; its low and high are the interval that an unsure geometry leaves
    taper_after : free less near that the collars should show after the moves, mm; None without collars or moves
    notes, causes : what to look at; where to look where no screw is at fault
    """

    kind: str
    thread: str
    question: Question
    stage: str
    step: int
    headline: str
    advice: Advice
    turns: tuple[Turn, ...]
    expected: tuple[Expected, ...]
    zero: tuple[float, float] | None
    turned: TurningAnswer | None
    taper_after: float | None
    learned: Learned
    notes: tuple[Note, ...]
    causes: tuple[str, ...]

    def note(self, code: str) -> str:
        """Return the sentence of that code, "" where there is none."""
        return next((n.text for n in self.notes if n.code == code), "")


def foot_named(name: str, names: Sequence[str]) -> str:
    """Return the full name of a foot typed as "FL" or "foot FL".

    Raises
    ------
    UnitError
        There is none; one sentence with the nearest.
    """
    for full in names:
        if name.strip().lower() in (full.lower(), full.lower().removeprefix("foot ")):
            return full
    short = [n.removeprefix("foot ") for n in names]
    near = get_close_matches(name.upper().removeprefix("FOOT "), short, n=1, cutoff=0.1)
    hint = f" Nearest: {near[0]}." if near else ""
    raise UnitError(f"there is no foot {name!r}; allowed: {', '.join(short)}.{hint}")


def answer(
    question: Question, screws: Influence, feet: Influence, axis: float, rounds: Sequence[Round] = (), each: int = 1
) -> Answer:
    """Return what to do next.

    Parameters
    ----------
    screws : what levels the bed; ``feet`` what the stand stands on, the same where it is bolted straight down
    axis : spindle axis above the machine's feet, mm
    rounds : those kept so far, without the present one; ``each`` jacking screws at one mount

    Raises
    ------
    UnitError
        A turning test that nobody can have made.
    LayoutError
        A twist is asked for and there is no bed to twist.
    """
    wanted, stations = question.wanted, question.stations
    turned = None
    if question.test is not None:
        if not len(screws.bed_x):
            raise no_bed()
        turned = turned_answer(question.test, screws.length, (question.ways or WAYS_SHARE * axis, axis))
    now: tuple[Round, ...] = ()
    if stations:
        twist, low, high = levelling.twist_of(stations)
        now = (
            Round(kind=screws.kind, places=tuple(s.x for s in stations), readings=(), twist=tuple(twist.tolist()),
                  within=tuple(((high - low) / 2).tolist()), moves={}, change=(0.0,) * len(twist)),
        )  # fmt: skip
    learned = learn((*rounds, *now))
    moved = np.array([sum(r.moves.get(n, 0.0) for r in rounds if r.kind == screws.kind) for n in screws.names])
    along = question.along.value if question.along else None
    lying = stations or ((_across(question.across, screws),) if question.across else ())
    if question.tried:
        feet = replace(feet, open=np.zeros(len(feet.names), bool))
    advice = levelling.bearing(feet, question.loose, wanted) or levelling.level_enough(feet, lying, along, wanted)
    which = feet
    if advice is None and stations:
        if not len(screws.bed_x):
            raise no_bed()
        which, rolls = screws, [s.value for s in stations]
        advice = levelling.untwist(screws, [s.x for s in stations], twist, low, high, wanted, learned, moved, rolls)
    elif advice is None and turned is not None:
        which = screws
        twisted, least, most = (np.array([v]) for v in (turned.twist, turned.low, turned.high))
        advice = levelling.untwist(screws, [0.0, screws.length], twisted, least, most, wanted, learned, moved)
    elif advice is None:
        advice = levelling.ready(wanted.tolerance, twists=bool(len(screws.bed_x)))
    return _told(question, which, advice, turned, learned, lying, each)


def _across(tilt: Tilt, screws: Influence) -> StationReading:
    return StationReading(
        name="across", x=screws.length / 2, value=tilt.value, within=tilt.within, zero=None, typed=tilt.typed
    )


def _told(
    question: Question, screws: Influence, advice: Advice, turned: TurningAnswer | None, learned: Learned,
    lying: tuple[StationReading, ...], each: int,
) -> Answer:  # fmt: skip
    zero = zero_error(question.stations)
    own = zero[0] if zero else 0.0
    turns = tuple(_turn(m, screws, each, question.wanted.inch) for m in advice.moves)
    return Answer(
        kind=screws.kind, thread=screws.thread, question=question, stage=advice.stage, step=STEP_OF[advice.stage],
        headline=_headline(advice, turns, screws), advice=advice, turns=turns,
        expected=(*(
            Expected(name=next((s.name for s in lying if s.x == x), f"{x:.0f} mm"), x=x, roll=roll, laid=roll + own,
                     turned=roll - own)
            for x, roll in advice.expected
        ), *_along(question, advice)),
        zero=zero, turned=turned, learned=learned,
        taper_after=_taper_after(question, advice, turned, screws.length),
        notes=tuple(_notes(question, advice, turned, zero)),
        causes=CAUSES if advice.stage == ELSEWHERE else (),
    )  # fmt: skip


def _along(question: Question, advice: Advice) -> tuple[Expected, ...]:
    """The slope along the bed as it should be read once the feet are raised."""
    if advice.stage != LEVEL or not advice.moves or question.along is None or question.stations:
        return ()
    return (Expected(name="along", x=0.0, roll=0.0, laid=0.0, turned=0.0),)


def _taper_after(
    question: Question, advice: Advice, turned: TurningAnswer | None, length: float
) -> float | None:
    if turned is None or question.test is None or question.stations or not advice.twist_after:
        return None
    return turned.bending + taper_of_twist(advice.twist_after[0], sum(turned.heights) / 2, question.test.between, length)


def _headline(advice: Advice, turns: tuple[Turn, ...], screws: Influence) -> str:
    names = ", ".join(t.move.name for t in turns)
    if advice.stage == BEARING:
        return f"Not all feet bear yet: turn out {names or 'those that turn by hand'}, then try them again."
    if advice.stage == LEVEL:
        return f"Not level enough yet: raise {names}." if turns else "Not level enough yet, and the feet alone cannot do it."
    if advice.stage == TWIST:
        worst = max(advice.twist, key=abs)
        do = "change the shims at" if screws.kind == SHIM else "turn"
        return f"The bed is twisted by {worst:+.3f} mm/m: {do} {names}, then read again."
    if advice.stage == DONE:
        return "Done: the bed is straight as far as was asked." if advice.twist else advice.sentences[0]
    if advice.stage == ELSEWHERE:
        return "Turn no screw: look for the cause elsewhere."
    return advice.sentences[0]


def _notes(
    question: Question, advice: Advice, turned: TurningAnswer | None, zero: tuple[float, float] | None
) -> list[Note]:
    notes: list[Note] = []
    stations = question.stations
    if zero is not None and zero[1] > 2 * max(s.within for s in stations) + 1e-9:
        words = f"the stations differ by {zero[1]:.4f} mm/m on that: wipe ways and level, and read again"
        notes.append(Note(code="wipe", text=words))
    if turned is not None and turned.slender > MOST_SLENDER:
        notes.append(Note(code="slender", text=slender_words(turned.slender)))
    if turned is not None and not question.ways:
        notes.append(Note(code="assumed", text="the height of the axis above the ways is assumed"))
    if advice.stage == DONE and advice.twist and max(map(abs, advice.twist)) > 0:
        below = all(low <= 0 <= high for low, high in zip(advice.low, advice.high, strict=True))
        if below:
            notes.append(Note(code="below", text="what is left is less than can be read"))
    spread = max((high - low for low, high in zip(advice.low, advice.high, strict=True)), default=0.0) / 2
    if stations and spread > advice.tolerance:
        notes.append(Note(code="coarse", text=(
            f"these readings tell twist to {spread:.3f} mm/m only, coarser than the {advice.tolerance:g} mm/m wanted"
        )))  # fmt: skip
    if turned is not None and stations:
        words = levelling.compare(advice, turned)
        if words:
            notes.append(Note(code="differ", text=words))
    return notes


def slender_words(slender: float) -> str:
    """Say that a bar which stands out so many diameters bends by itself."""
    return (
        f"the bar stands {slender:.1f} diameters out; beyond {MOST_SLENDER:g} its own bending shows: "
        "take a thicker or shorter one"
    )


def turns_in_words(turns: float) -> str:
    """Return turns of a hexagon as a hand counts them: "1 turn and 2½ flats", "a quarter turn", "⅓ flat"."""
    whole, degrees = divmod(360 * turns, 360)
    if degrees > 355:
        whole, degrees = whole + 1, 0.0
    head = f"{whole:.0f} turn{'s' if whole != 1 else ''}" if whole else ""
    quarter = next((w for d, w in _QUARTERS.items() if abs(degrees - d) <= _NEAR), "")
    rest = quarter or _flats(degrees / 60)
    if head and rest:
        return f"{head} and {rest}"
    return head or rest or f"{360 * turns:.0f}°"


def _flats(flats: float) -> str:
    whole = int(flats)
    part, sign = min(_PARTS, key=lambda p: abs(p[0] - (flats - whole)))
    if part == 1:
        whole += 1
    if not whole and not sign:
        return ""
    return f"{whole or ''}{sign} flat{'s' if whole > 1 or (whole and sign) else ''}"


def hand_of(kind: str, up: bool) -> str:
    """Return the way to turn a right-hand thread seen from above.

    A foot's stud is turned out of the leg downwards and a jacking screw out of its block upwards, so they go
    opposite ways.
    """
    if kind == SHIM:
        return ""
    return "clockwise seen from above" if up is (kind == FOOT) else "anticlockwise seen from above"


def _turn(move: ScrewMove, screws: Influence, each: int, inch: bool) -> Turn:
    up = move.mm > 0
    way = "up" if up else "down"
    size = f"{abs(move.mm) / INCH * 1000:.1f} thou" if inch else f"{abs(move.mm):.2f} mm"
    if screws.kind == SHIM:
        words = f"{size} of shim {'in' if up else 'out'}"
        return Turn(move=move, words=words, short=f"{way} {size} of shim", note="")
    count = turns_in_words(move.turns)
    both = ", both screws there alike" if screws.kind == SCREW and each == 2 else ""
    note = ""
    if move.degrees < LEAST_HAND:
        note = f"that is {move.degrees:.0f}°, less than a hand can set surely: come to it by feel and read again"
    angle = f"{move.degrees:.0f}°" if move.turns < 1 else f"{move.turns:.2f} turns"
    short = f"{way} {size} · {angle} · {count}" if move.turns < 1 else f"{way} {size} · {count}"
    return Turn(move=move, words=f"{count}, {hand_of(screws.kind, up)}{both}", short=short, note=note)


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """What was read after the moves against what should have been: ``off`` mm/m, ``well`` near enough to it."""

    name: str
    expected: float
    read: float
    off: float
    well: bool


def seen(told: Answer, stations: Sequence[StationReading]) -> tuple[Seen, ...]:
    """Set new readings beside what the last answer promised, place by place.

    Near enough is within half the twist allowed, or within twice what the level can show where that is more.
    """
    out: list[Seen] = []
    for e in told.expected:
        now = next((s for s in stations if s.name == e.name), None)
        if now is not None:
            off = now.value - e.roll
            well = abs(off) <= max(told.advice.tolerance / 2, 2 * now.within)
            out.append(Seen(name=e.name, expected=e.roll, read=now.value, off=off, well=well))
    return tuple(out)

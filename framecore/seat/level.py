"""Levelling, step by step: all feet bearing, level enough, then the twist out of the bed.

What is asked for is a bed without twist, not a horizontal one; it is only levelled so that the precision level
stays on its scale. The answer names the screw, the way and how far, and what should be read afterwards.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from framecore.seat.influence import FOOT, Influence
from framecore.seat.learning import LEAST_SHARE, Learned, Round
from framecore.seat.moves import Moves, find_moves, least_twist
from framecore.seat.readings import StationReading
from framecore.seat.turning_test import TurningAnswer
from framecore.units import INCH

Floats = NDArray[np.float64]
LEVEL_ENOUGH = 1.0  # mm/m (own judgement): further off a precision level leaves its scale
MOST_MOVE = 1.0  # mm (own judgement): a larger move in the last stage means something else is wrong
MOST_TWIST = 1.0  # mm/m (own judgement): no sound bed on a sound stand twists further by its screws
KEEP_SHARE = 0.1  # of the mean press: what every screw must keep (own judgement)
_WORTH = 0.5  # moves that leave more than this share of the twist are not worth making (own judgement)
_STIFF = 1.0  # N/mm: a stand that presses less on a foot for a millimetre stands on the others anyway
SHIM_STEP = 0.02  # mm: thinnest foil in common use
SOURCE = "influence of each screw from the stand's own frame model; Maxwell and Betti; computed"
CAUTION = (
    "The figures are no certificate: move in small steps, read after each, and follow the machine's manual. Keep hands and "
    "feet from under a stand that is being turned up."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class ScrewMove:
    """One move.

    ``mm`` positive raises the machine there, between ``low`` and ``high``; ``turns`` of its thread without sign, 0
    for shims, with ``degrees`` and ``flats`` of a hexagon; ``before``, ``after`` its press, N.
    """

    name: str
    way: str
    mm: float
    low: float
    high: float
    turns: float
    degrees: float
    flats: float
    before: float
    after: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Advice:
    """What to do next.

    Attributes
    ----------
    stage : "bearing", "level", "read" (both are well), "twist", "done", "elsewhere" (the cause is not the stand)
    twist, low, high : (r,) of each station after the first against it, mm/m, and its interval
    moves : fewest and smallest; ``reached``: they bring the twist within ``tolerance``
    expected : (place mm, roll mm/m) that should be read at each station afterwards
    change : (r,) of twist that the model alone predicts, mm/m; for the record
    preload : N that each holding-down bolt must hold the screws down with where their press alone is too little
    sentences : the answer in words, in order
    """

    stage: str
    twist: tuple[float, ...]
    low: tuple[float, ...]
    high: tuple[float, ...]
    tolerance: float
    moves: tuple[ScrewMove, ...]
    expected: tuple[tuple[float, float], ...]
    twist_after: tuple[float, ...]
    change: tuple[float, ...]
    reached: bool
    preload: float
    sentences: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """What counts as good enough: ``tolerance`` mm/m of twist; the rest as the module's constants."""

    tolerance: float
    most: float = MOST_MOVE
    level_enough: float = LEVEL_ENOUGH
    keep: float | None = None  # N
    step: float = 0.0
    preload: float = 0.0  # N by which each holding-down bolt presses besides the weight
    inch: bool = False  # moves in thou as well


def bearing(feet: Influence, loose: Sequence[str], wanted: Wanted) -> Advice | None:
    """First stage: feet that turn by hand, or hang in the air by the model; None where all bear.

    From touching the floor a foot carries its share after N0 / C more of a millimetre, all others left alone.
    """
    hanging = [k for k, name in enumerate(feet.names) if name in loose or feet.open[k]]
    if not hanging:
        return None
    moves: list[ScrewMove] = []
    words: list[str] = []
    for k in hanging:
        gives = float(feet.change[k, k])
        mm = max(float(feet.press[k]), 0.0) / gives if gives > _STIFF else feet.travel
        if mm >= feet.travel:  # three feet always bear; this one only stands too low
            words.append(f"{feet.names[k]}: turn it out until it can no longer be turned by hand.")
            continue
        moves.append(_screw_move(feet, k, mm, 0.0, mm, 0.0, float(feet.press[k])))
        words.append(
            f"{feet.names[k]}: turn it out until it touches the floor, then {how_far(moves[-1], feet, wanted.inch)} further; "
            f"it then carries {feet.press[k]:.0f} N."
        )
    head = "First all feet must bear: a foot that can be turned by hand carries nothing, and the stand rocks."
    return _advice("bearing", wanted.tolerance, moves=tuple(moves), sentences=(head, *words, "Then read again.", CAUTION))


def level_enough(
    feet: Influence, stations: Sequence[StationReading], along: float | None, wanted: Wanted
) -> Advice | None:
    """Second stage: turn the whole stand level on its feet; None where it is level enough.

    ``along`` is the slope of the bed, mm/m, positive where the right end is higher. All feet move in one plane, so
    the bed's twist stays as it is; only raising is asked for.
    """
    across = sum(s.value for s in stations) / len(stations) if stations else 0.0
    slope = along or 0.0
    if max(abs(across), abs(slope)) <= wanted.level_enough:
        return None
    words: tuple[str, ...]
    rise = -(feet.points[:, 1] * across + feet.points[:, 0] * slope) / 1000
    rise -= rise.min()
    head = (
        f"Then level enough: the bed lies {abs(across):.2f} mm/m off across and {abs(slope):.2f} mm/m off along; within "
        f"{wanted.level_enough:g} mm/m will do, since twist is what counts."
    )
    if rise.max() > feet.travel:
        words = (
            f"{feet.names[int(rise.argmax())]} would have to rise {rise.max():.1f} mm; its travel is {feet.travel:.1f} mm: "
            "pack under the low feet first.",
        )
        return _advice("level", wanted.tolerance, sentences=(head, *words, CAUTION), reached=False)
    found = tuple(
        _screw_move(feet, k, float(r), float(r), float(r), float(feet.press[k]), float(feet.press[k]))
        for k, r in enumerate(rise) if r > 0.005
    )  # fmt: skip
    words = tuple(f"{m.name}: {m.way} by {how_far(m, feet, wanted.inch)}." for m in found)
    return _advice(
        "level", wanted.tolerance, moves=found, expected=tuple((s.x, s.value - across) for s in stations),
        sentences=(head, *words, "Turn all of them a little at a time, then read again.", CAUTION),
    )  # fmt: skip


def untwist(
    screws: Influence, places: Sequence[float], twist: Floats, low: Floats, high: Floats, wanted: Wanted,
    learned: Learned, moved: Floats, rolls: Sequence[float] = (),
) -> Advice:  # fmt: skip
    """Third stage: the twist out of the bed.

    Parameters
    ----------
    places : (r + 1,) stations, mm from the left-hand mounts; ``rolls`` what was read there, mm/m
    twist, low, high : (r,) of each station after the first against it, mm/m
    moved : (n,) mm that earlier rounds moved each screw: the presses are those of a stand levelled as it stands by
        itself, and these moves
    """
    worst = int(np.abs(twist).argmax())
    told = f"The bed is twisted by {twist[worst]:+.3f} mm/m {'between its stations' if rolls else 'from end to end'}"
    close = f"{low[worst]:+.3f} to {high[worst]:+.3f}"
    side = "back" if twist[worst] > 0 else "front"
    base = _advice("done", wanted.tolerance, twist=twist, low=low, high=high, sentences=())
    if not _outside(low, high):
        head = f"{told}, less than can be read ({close}): there is nothing to correct that these readings show."
        return replace(base, sentences=(head,))
    if (np.abs(twist) <= wanted.tolerance).all():
        return replace(base, sentences=(f"{told}, within {wanted.tolerance:g} mm/m: leave it.",))
    least = np.where(low * high > 0, np.minimum(np.abs(low), np.abs(high)), 0.0)
    if learned.share < LEAST_SHARE:
        head = (
            f"{told}, but the moves made so far changed it by {learned.share:.2f} of what they should: the screws do not "
            "reach the bed. " + _ELSEWHERE
        )
        return replace(base, stage="elsewhere", reached=False, sentences=(head,))
    a = screws.twist(list(places))
    keep = wanted.keep if wanted.keep is not None else KEEP_SHARE * float(screws.press.mean())
    press = screws.press + screws.change @ moved + (wanted.preload if screws.kind != FOOT else 0.0)
    most = min(wanted.most, screws.travel)

    def search(floor: float, limit: float) -> Moves:
        return find_moves(
            twist, learned.share * a, press, screws.change, tol=wanted.tolerance, most=limit, keep=floor, step=wanted.step,
            prefer=screws.points[:, 0],  # the far end from a headstock, which stands at the left
        )  # fmt: skip

    found = search(keep, most)
    free = found if found.reached else search(-1e9, most)
    stays = float(np.abs(least_twist(twist, learned.share * a)).max()) if not free.reached else 0.0
    shape = stays > wanted.tolerance
    if shape and float(np.abs(found.twist).max()) > _WORTH * float(np.abs(twist).max()):
        head = f"{told}, in a way that no {screws.kind} here can take out: {stays:.3f} mm/m would stay at best. {_ELSEWHERE}"
        return replace(base, stage="elsewhere", reached=False, sentences=(head,))
    if least.max() > MOST_TWIST or not (free.reached or shape):
        head = (
            f"{told}: more than its screws should ever have to take out (a twist beyond {MOST_TWIST:g} mm/m, or a move "
            f"beyond {most:g} mm). " + _ELSEWHERE
        )
        return replace(base, stage="elsewhere", reached=False, sentences=(head,))
    taken = float(np.abs(found.twist - twist).max())
    if not found.reached and not shape and screws.kind == FOOT and least.max() > 2 * taken + wanted.tolerance:
        head = (
            f"{told}, which its feet cannot have done: the weight on them can hold the bed twisted by {taken:.3f} mm/m and no "
            "more. Slacken the holding-down bolts and read again. If the twist goes, the bolts draw the bed to a seat that is "
            "not flat: shim there. If it stays: " + _ELSEWHERE[0].lower() + _ELSEWHERE[1:]
        )
        return replace(base, stage="elsewhere", reached=False, sentences=(head,))
    moves = _with_intervals(screws, found, learned, a, (twist, low, high), press)
    at = screws.at(list(places)) @ found.s
    at = at.mean() + learned.share * (at - at.mean())  # the share is of twist; the machine rolls as a whole besides
    words = [f"{told} ({close}): towards the right its {side} lies higher."]
    for m in moves:
        known = f"; between {_size(m.low, m.high)} mm as far as is known" if found.reached else ""
        words.append(f"{m.name}: {m.way} by {how_far(m, screws, wanted.inch)}{known}.")
    preload = 0.0
    if shape:
        words.append(
            f"At one station {np.abs(found.twist).max():.3f} mm/m stays: the {screws.kind}s here cannot twist the bed in that "
            "way. Read again; if it stays, it is wear of the ways or lies in the bed."
        )
    elif not found.reached:
        preload = max(keep - float((press - wanted.preload + screws.change @ free.s).min()), 0.0)
        words.append(_short(screws, found, free, preload, keep, twist))
    spread = float((high - low).max()) / 2
    if rolls and spread > wanted.tolerance:
        words.append(f"These readings are good to {spread:.3f} mm/m only, coarser than the {wanted.tolerance:g} mm/m wanted.")
    words.append(f"No {screws.kind} presses with less than {found.press.min():.0f} N then.")
    return replace(
        base, stage="twist", moves=moves, reached=found.reached, preload=preload,
        expected=tuple((float(x), float(r + d)) for x, r, d in zip(places, rolls, at, strict=True)) if rolls else (),
        twist_after=tuple(found.twist.tolist()), change=tuple((a @ found.s).tolist()), sentences=(*words, CAUTION),
    )  # fmt: skip


_ELSEWHERE = (
    "Turn no screw for it: look for the cause elsewhere, in the headstock's set, in worn ways, in the bar's bending, or in "
    "a mount that does not bear."
)


def ready(tolerance: float, *, twists: bool = True) -> Advice:
    """Feet and level are well: what is left is the twist, or nothing where there is no bed to twist."""
    if not twists:
        words = "All feet bear and the machine is level enough; it stands on no two rows of mounts, so no screw twists a bed."
        return _advice("done", tolerance, sentences=(words,))
    return _advice("read", tolerance, sentences=("All feet bear and the bed is level enough; now read for twist.",))


def compare(level: Advice, turned: TurningAnswer) -> str:
    """Say whether the twist that the level shows explains the taper that was turned."""
    if not level.twist:
        return ""
    seen = level.twist[-1]
    asked = f"{turned.low:+.3f} to {turned.high:+.3f} mm/m"
    if level.low[-1] <= turned.high and level.high[-1] >= turned.low:
        return f"The level's {seen:+.3f} mm/m agrees with the turned collars, which ask for {asked}."
    return (
        f"The turned collars ask for {asked} of twist, the level shows {seen:+.3f} mm/m: the taper does not come from the bed "
        "alone. Look at the headstock's set, wear of the ways and the bar's bending before turning screws."
    )


def as_round(screws: Influence, advice: Advice, stations: Sequence[StationReading], when: str = "") -> Round:
    """Return the round for the record, its moves as advised; ``when`` day and time in words."""
    twist, low, high = twist_of(stations)
    return Round(
        kind=screws.kind, places=tuple(s.x for s in stations), readings=tuple(f"{s.name}: {s.typed}" for s in stations),
        twist=tuple(twist.tolist()), within=tuple(((high - low) / 2).tolist()),
        moves={m.name: m.mm for m in advice.moves} if advice.stage == "twist" else {},
        change=advice.change or (0.0,) * len(twist), when=when,
    )  # fmt: skip


def twist_of(stations: Sequence[StationReading]) -> tuple[Floats, Floats, Floats]:
    """Return twist, low and high of stations in order against the first, (r,) mm/m.

    A level that always lies the same way round has its own error in both readings, and the difference is free of it.
    """
    value = np.array([s.value for s in stations])
    within = np.array([s.within for s in stations])
    twist, spread = value[1:] - value[0], within[1:] + within[0]
    return twist, twist - spread, twist + spread


def how_far(move: ScrewMove, screws: Influence, inch: bool = False) -> str:
    """Millimetres, and degrees, turns and flats of its thread: "0.103 mm = 21 degrees of its M12, 0.059 turns or ..."."""
    size = f"{abs(move.mm):.3f} mm" if abs(move.mm) < 1 else f"{abs(move.mm):.2f} mm"
    if inch:
        size += f" ({abs(move.mm) / INCH * 1000:.1f} thou)"
    if not screws.pitch:
        return f"{size} of shim"
    whole, part = divmod(round(move.degrees), 360)
    turn = f"{whole} turn{'s' if whole != 1 else ''} and {part} degrees" if whole else f"{part} degrees"
    return f"{size} = {turn} of its {screws.thread}, {move.turns:.3f} turns or {move.flats:.2f} flats"


def _outside(low: Floats, high: Floats) -> bool:
    return bool((low * high > 0).any())


def _size(low: float, high: float) -> str:
    small, large = sorted((low, high), key=abs)
    return f"0 and {abs(large):.3f}" if low * high <= 0 else f"{abs(small):.3f} and {abs(large):.3f}"


def _short(screws: Influence, found: Moves, free: Moves, preload: float, keep: float, twist: Floats) -> str:
    had = float(np.abs(twist).max() - np.abs(found.twist).max())
    sentence = (
        f"That takes out {had:.3f} of {np.abs(twist).max():.3f} mm/m: for more a {screws.kind} would press with less than "
        f"{keep:.0f} N and let go."
    )
    if screws.kind == FOOT:
        return sentence + " For the rest anchor the feet, or shim between machine and stand with the bolts drawn down."
    names = [f"{screws.names[k]} {v:+.3f} mm" for k, v in enumerate(free.s) if v]
    return sentence + f" With every holding-down bolt drawn to {preload:.0f} N or more: {', '.join(names)}."


def _with_intervals(
    screws: Influence, found: Moves, learned: Learned, a: Floats, seen: tuple[Floats, Floats, Floats], press: Floats
) -> tuple[ScrewMove, ...]:
    """Moves with what the readings' spread, and that of the learnt share, make of them."""
    idx = np.flatnonzero(found.s)
    if not len(idx):
        return ()
    twist, low, high = seen
    back = -np.linalg.pinv(learned.share * a[:, idx])
    ends = np.sort(np.stack([back * (low - twist), back * (high - twist)]), axis=0).sum(2)
    spread = np.abs(found.s[idx]) * learned.sd / learned.share if learned.rounds else np.zeros(len(idx))
    return tuple(
        _screw_move(screws, int(k), float(found.s[k]), float(found.s[k] + ends[0, n] - spread[n]),
                    float(found.s[k] + ends[1, n] + spread[n]), float(press[k]), float(found.press[k]))
        for n, k in enumerate(idx)
    )  # fmt: skip


def _screw_move(screws: Influence, k: int, mm: float, low: float, high: float, before: float, after: float) -> ScrewMove:
    turns = abs(mm) / screws.pitch if screws.pitch else 0.0
    return ScrewMove(
        name=screws.names[k], way="raise" if mm > 0 else "lower", mm=mm, low=low, high=high, turns=turns,
        degrees=360 * turns, flats=6 * turns, before=before, after=after,
    )  # fmt: skip


def _advice(
    stage: str, tolerance: float, *, sentences: tuple[str, ...], twist: Floats | None = None, low: Floats | None = None,
    high: Floats | None = None, moves: tuple[ScrewMove, ...] = (), expected: tuple[tuple[float, float], ...] = (),
    reached: bool = True,
) -> Advice:  # fmt: skip
    def plain(values: Floats | None) -> tuple[float, ...]:
        return () if values is None else tuple(values.tolist())

    return Advice(
        stage=stage, twist=plain(twist), low=plain(low), high=plain(high), tolerance=tolerance, moves=moves, expected=expected,
        twist_after=(), change=(), reached=reached, preload=0.0, sentences=sentences,
    )  # fmt: skip

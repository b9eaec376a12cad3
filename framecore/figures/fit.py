"""Figures of the machine's bolts in the stand's holes: the chance that it drops on, by how the holes are made."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache, partial

from framecore.brief.model import Brief
from framecore.catalogue import thread as find_thread
from framecore.figures._judge import at_least, given, origin
from framecore.figures.model import Answers, Figure, Input, Verdict, Working
from framecore.frame._blocks import ROUND
from framecore.frame.model import Frame
from framecore.frame.slotted import machine_slots
from framecore.seat.fit import METHODS, Chance, Method, Slot, allowed, drop_on_chances
from framecore.seat.slots import slots_for_chance

LIMIT = 0.95
CLASSES = ("fine", "medium", "coarse")
_PATHS = (
    "machine.holes", "mounting.hole_class", "mounting.method", "mounting.pattern_error", "mounting.marking", "mounting.slot",
)  # fmt: skip
_SOURCE = (
    "random trials of hole errors, least worst rigid fit by convex optimisation; interval by Wilson 1927 (from memory); "
    "(H - F)/2 as for floating fasteners, ASME Y14.5 (from memory)"
)


def figures(answers: Answers) -> Iterator[Figure]:
    """Yield the chance for the way the holes are made, and for the other ways; nothing where nothing is bolted."""
    brief, frame = answers.brief, answers.frame
    if not any(m.hole for m in frame.mounts) or len(frame.mounts) != len(brief.machine.holes):
        return
    chosen, hole = brief.mounting.method, frame.mounts[0].hole
    carriers = _carriers(tuple(m.member for m in frame.mounts))
    # Where one piece carries all the holes there is no bearer to weld after.
    methods = [m for m in METHODS if m == chosen or max(carriers) > 0 or not METHODS[m].shrink[1]]
    chances = {m: _chances(brief, m, (hole,), carriers)[0] for m in methods}
    yield _figure(brief, frame, chosen, hole, carriers, chances[chosen], _advice(brief, chances))
    for method in methods:
        if method != chosen:
            yield _figure(brief, frame, method, hole, carriers, chances[method])


@lru_cache(maxsize=64)
def _carriers(names: tuple[str, ...]) -> tuple[int, ...]:
    order = {name: k for k, name in enumerate(dict.fromkeys(names))}
    return tuple(order[name] for name in names)


def _each(brief: Brief, method: str) -> float | None:
    """Return the spread of single holes where the brief gives it for this way of making them."""
    own = method == brief.mounting.method and "mounting.marking" not in brief.assumed
    return brief.mounting.marking if own else None


def _slots(brief: Brief) -> tuple[Slot | None, ...]:
    """Return the slots of the stand's holes as the trials take them; empty where all are round."""
    cuts = machine_slots(brief)
    if not any(c.slot for c in cuts):
        return ()
    return tuple(Slot(length=c.slot, along=(c.axis[0], c.axis[1])) if c.slot else None for c in cuts)


def _chances(brief: Brief, method: str, holes: tuple[float, ...], carriers: tuple[int, ...]) -> tuple[Chance, ...]:
    bolt = find_thread(brief.machine.bolt).diameter
    return drop_on_chances(
        brief.machine.holes, tuple(allowed(h, bolt) for h in holes), method, each=_each(brief, method),
        pattern_error=brief.mounting.pattern_error, carriers=carriers, slots=_slots(brief),
    )  # fmt: skip


def _figure(
    brief: Brief, frame: Frame, method: str, hole: float, carriers: tuple[int, ...], chance: Chance, note: str = ""
) -> Figure:
    main = method == brief.mounting.method
    return Figure(
        id="mount.fit_chance" if main else "mount.fit_chance." + method.replace(" ", "_"),
        label="Chance that the machine drops on" if main else f"Chance that it drops on, {method}",
        value=chance.value, unit="1", group="seat", limit=LIMIT if main else None, limit_kind="min" if main else "",
        verdict=at_least(chance.value, LIMIT) if main else Verdict.NONE, note=note,
        assumed=tuple(k for k in _PATHS if k in brief.assumed), parts=tuple(m.name for m in frame.mounts),
        work=partial(_working, brief, method, hole, carriers, chance),
    )  # fmt: skip


def _advice(brief: Brief, chances: dict[str, Chance]) -> str:
    """Say in a few words what helps; the working says how much."""
    chosen = brief.mounting.method
    better = max((m for m in chances if m != chosen), key=lambda m: chances[m].value, default="")
    if chances[chosen].value >= LIMIT or not better:
        return ""
    ways = [] if brief.mounting.hole_class == "coarse" else ["bigger holes"]
    ways += ["longer slots" if _slots(brief) else "slots"]
    ways += [f"{better} ({_percent(chances[better].value)})"] if chances[better].value >= LIMIT else []
    return "What helps: " + (" or ".join(ways) if len(ways) < 3 else f"{ways[0]}, {ways[1]} or {ways[2]}")


def _percent(chance: float) -> str:
    """Write a chance so that nearly certain does not read as certain."""
    return "over 99.9 %" if chance > 0.999 else f"{100 * chance:.1f} %"


def _working(brief: Brief, method: str, hole: float, carriers: tuple[int, ...], chance: Chance) -> Working:
    thread, how, own = find_thread(brief.machine.bolt), METHODS[method], _each(brief, method)
    room = allowed(hole, thread.diameter)
    classes = tuple(float(getattr(thread, c)) for c in CLASSES)
    others = zip(CLASSES, classes, _chances(brief, method, classes, carriers), strict=True)
    return Working(
        formula="P = k / N; a trial counts when min over x, y, θ of max |r_i| <= (H - F)/2", source=_SOURCE,
        inputs=(
            Input(symbol="F", label=f"bolt {brief.machine.bolt}", value=thread.diameter, unit="mm",
                  origin=origin(brief, "machine.bolt"), key="machine.bolt"),
            Input(symbol="H", label="clearance hole", value=hole, unit="mm", origin="table", source=thread.source),
            given(brief, "mounting.pattern_error", "e_m"),
            *([given(brief, "mounting.slot", "s")] if _slots(brief) else []),
            *_method_inputs(brief, how, own),
        ),
        steps=(
            f"allowed from the middle of a hole: ({hole:g} - {thread.diameter:g})/2 = {room:.3g} mm",
            *_slot_words(brief, room),
            f"{chance.fits} of {chance.trials} trials go on: P = {chance.value:.4f}, between {chance.low:.4f} and "
            f"{chance.high:.4f} nineteen times of twenty",
            *(f"{name} series, hole {size:g} mm: {_percent(c.value)} ({_percent(c.low)} to {_percent(c.high)})"
              for name, size, c in others),
            *_slot_steps(brief, method, room, carriers, chance),
        ),
        note=(
            "Play of the bolts in the machine's own feet is not counted; it helps. "
            + ("The machine's own holes guide the drill, so its pattern's error drops out. " if how.follows else "")
            + ("The bearers are taken as free to move while they are welded. " if how.shrink[1] else "")
            + "Errors are taken as normally spread, nineteen of twenty within the values above."
        ),
    )  # fmt: skip


def _method_inputs(brief: Brief, how: Method, own: float | None) -> Iterator[Input]:
    if own is None:
        yield Input(symbol="e_h", label="a hole lands within", value=how.each, unit="mm", origin="assumed", source=how.source)
    else:
        yield given(brief, "mounting.marking", "e_h")
    rows = (
        ("e_c", "each step from row to row", how.chain, "mm"), ("e_p", "length of the paper", 1000 * how.scale, "mm/m"),
        ("s_1", "least pull of a weld", how.shrink[0], "mm"), ("s_2", "most pull of a weld", how.shrink[1], "mm"),
    )  # fmt: skip
    for symbol, label, value, unit in rows:
        if value:
            yield Input(symbol=symbol, label=label, value=value, unit=unit, origin="assumed", source=how.source)


def _slot_words(brief: Brief, room: float) -> Iterator[str]:
    m, slots = brief.mounting, _slots(brief)
    if slots:
        which = "all holes but hole 1" if slots[0] is None else "all holes"
        yield (
            f"{which} are slots {m.slot_way}: a bolt may stand {room:.3g} mm from any point of the {m.slot:g} mm between "
            f"the end centres"
        )


def _slot_steps(
    brief: Brief, method: str, room: float, carriers: tuple[int, ...], chance: Chance
) -> Iterator[str]:  # fmt: skip
    if method != brief.mounting.method or chance.value >= LIMIT or brief.mounting.seating == ROUND:
        return
    choice = slots_for_chance(
        brief.machine.holes, room, method, limit=LIMIT, each=_each(brief, method),
        pattern_error=brief.mounting.pattern_error, carriers=carriers,
    )  # fmt: skip
    if choice is None:
        yield "no slots up to 20 mm bring it to " + _percent(LIMIT)
    else:
        yield (
            f"all holes but hole 1 slotted {choice.way}, {choice.length:g} mm between end centres, bring it to "
            f'{_percent(choice.chance)}: mounting.slot = {choice.length:g}, mounting.slot_way = "{choice.way}", '
            f'mounting.round_holes = "hole 1"'
        )

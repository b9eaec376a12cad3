"""Lifting and carrying: what each thing weighs, who lifts it, how high the hook, which door and which car."""

from __future__ import annotations

import math

from framecore.sheets.drawing.flow import Flow, wrap
from framecore.sheets.drawing.model import Primitive, Text
from framecore.sheets.drawing.signs import caution_sign
from framecore.sheets.words import cautions, length_words
from framecore.shop.assemblies import STAND
from framecore.shop.buying import longest
from framecore.shop.lifting import SOURCE, sling_angle
from framecore.shop.work import Assembly, Lift
from framecore.stand.model import Stand
from framecore.stand.work import work_of
from framecore.units import INCH, format_quantity

SLING = 500.0  # mm, hook to the machine's top (assumed)
MOST_SLING_ANGLE = math.radians(45.0)  # from upright, each leg (common practice)
SIGN = 4.0
STEP = 10.0  # mm


def fill(stand: Stand, flow: Flow, size: float) -> None:
    """Put the table of lifts and the lines on hook, sling, door and car."""
    work, units = work_of(stand), stand.brief.units
    if not work.lifts:
        return
    boxes = {a.name: a for a in work.assemblies}
    flow.heading("Lifting and carrying", keep=24.0)
    rows = [
        (f.name, " ".join(format_quantity(f.mass, "kg", units)), _size(stand, f, boxes), _people(f), f.text)
        for f in work.lifts
    ]
    flow.table(("What", "Mass", "Size", "Who", "Why"), rows, "lrlll", size)
    flow.gap(2.0)
    for text in facts(stand):
        flow.note(text, size)
    flow.note(
        f"People by {SOURCE}: less, the farther a thing is lifted. Hands differ: who finds a thing too heavy leaves it to a "
        "hoist.",
        size,
    )
    flow.gap(2.0)
    told = cautions(stand)
    # They stay together: one alone at the top of a column is overlooked.
    if flow.room() < sum(caution_high(flow, text, size, bold) for text, bold in told):
        flow.next_column()
    for text, bold in told:
        caution_block(flow, text, size, bold)


def _people(lift: Lift) -> str:
    if lift.people == 0:
        return "a hoist"
    return "one" if lift.people == 1 else f"{lift.people} people"


def _size(stand: Stand, lift: Lift, boxes: dict[str, Assembly]) -> str:
    words = length_words(stand)
    if lift.name in boxes:
        return " × ".join(words(v) for v in boxes[lift.name].size)
    outline = stand.brief.machine.outline
    if lift.name != "machine" or not outline:
        return "–"
    return " × ".join(words(v) for v in _machine_box(stand))


def _machine_box(stand: Stand) -> tuple[float, float, float]:
    """Length, depth and height of the machine as drawn, mm; zeros where it is not."""
    boxes = stand.brief.machine.outline
    if not boxes:
        return 0.0, 0.0, 0.0
    x, y, z = (max(b.at[k] + b.size[k] for b in boxes) - min(b.at[k] for b in boxes) for k in range(3))
    return x, y, z


def facts(stand: Stand) -> list[str]:
    """Return the lines on the hook, the sling, the door and the car."""
    work, words = work_of(stand), length_words(stand)
    unit = "mm" if stand.brief.units == "metric" else "in"

    def mm(value: float) -> str:
        return f"{words(value)} {unit}"

    step = STEP if stand.brief.units == "metric" else INCH

    def up(value: float) -> str:
        # What must be there at least is told in steps that a tape is read to from the floor.
        return mm(math.ceil(value / step - 1e-6) * step)

    out = []
    spread, _, tall = _machine_box(stand)
    on = next((f for f in work.lifts if f.hook > 0.0), None)
    if on is not None:
        out.append(
            f"Hook of the hoist at least {up(on.hook)} over the floor: seat {mm(stand.frame.seat)}, machine {mm(tall)}, sling "
            f"{up(SLING)} (assumed), {up(on.hook - stand.frame.seat - tall - SLING)} to clear."
        )
    if on is not None and spread > 0.0:
        need = spread / 2 / math.sin(MOST_SLING_ANGLE)
        lean = math.degrees(sling_angle(spread, need))
        out.append(
            f"Slung at both ends of {mm(spread)}, each sling leg at least {up(need)} long: it then leans {lean:.0f}° from "
            "upright, and no more. Where the machine is slung, its manual says."
        )
    for f in work.lifts:
        if f.door > 0.0:
            out.append(
                f"Door: the {f.name} goes through {mm(f.door)} clear, {mm(f.door_high)} high in it, without the machine."
            )
    whole = next((a for a in work.assemblies if a.name == STAND), None)
    if whole is not None:
        out.append(f"Car or trailer: {' × '.join(mm(v) for v in whole.size)} inside.")
    bars = longest(stand.brief, stand.shop)
    if bars > 0.0:
        out.append(f"Longest steel to bring home: {mm(bars)}.")
    return out


def caution_block(flow: Flow, text: str, size: float, bold: bool) -> None:
    """Put one caution behind its sign."""
    rows = _caution_rows(flow, text, size, bold)

    def draw(x: float, y: float, wide: float) -> tuple[Primitive, ...]:
        out: list[Primitive] = list(caution_sign((x, y - SIGN), SIGN))
        base = y - size - 0.4
        for k, row in enumerate(rows):
            out.append(Text(at=(x + SIGN + 3.0, base - k * size * 1.6), text=row, height=size, bold=bold))
        return tuple(out)

    flow.put(caution_high(flow, text, size, bold), draw)


def caution_high(flow: Flow, text: str, size: float, bold: bool) -> float:
    """Return the height that a caution takes, mm."""
    return max(len(_caution_rows(flow, text, size, bold)) * size * 1.6, SIGN) + 2.0


def _caution_rows(flow: Flow, text: str, size: float, bold: bool) -> list[str]:
    return wrap(text, flow.width - SIGN - 6.0, size, bold)

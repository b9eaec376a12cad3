"""The build, step by step: what is done, what is measured and within what, the caution beside it, a box to tick."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import groupby

from framecore.sheets.drawing.flow import Flow, wrap
from framecore.sheets.drawing.model import Primitive, Text
from framecore.sheets.drawing.pens import text_width
from framecore.sheets.drawing.signs import caution_sign, tick_box
from framecore.shop.work import Step
from framecore.stand.model import Stand
from framecore.stand.work import work_of
from framecore.words import say

STAGES = {
    "saw": "Saw", "fit": "Fit and prepare", "drill": "Drill", "weld": "Tack and weld", "finish": "Paint",
    "set up": "Set up", "level": "Bolt down and level",
}  # fmt: skip
BOX = 4.0  # mm, of a box to tick
INDENT = 7.0
READ = "I read: ____________"


def fill(stand: Stand, flow: Flow, size: float) -> None:
    """Put the steps, stage by stage."""
    for stage, run in groupby(work_of(stand).steps, key=lambda s: s.stage):
        own = list(run)
        flow.heading(STAGES.get(stage, stage.capitalize()), keep=_high(own[0], flow.width, size, flow.close))
        for step in own:
            _step(flow, step, size)


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """A line of a step: ``down`` mm from the line before, ``left`` of the column; ``sign`` a caution's begins here."""

    text: str
    left: float
    down: float
    bold: bool = False
    sign: bool = False


def _rows(step: Step, wide: float, size: float, close: float) -> list[Row]:
    """The lines of a step from the top; ``close`` of the usual room between them."""
    line, label = size * 1.6 * close, text_width("Measure", size, True) + 2.0
    out = [
        Row(text=t, left=INDENT, down=line, bold=True)
        for t in wrap(f"{step.number}  {step.title}", wide - INDENT - 2.0, size, True)
    ]
    out += [
        Row(text=t, left=INDENT, down=line + (0.6 if n == 0 else 0.0))
        for n, t in enumerate(wrap(step.text, wide - INDENT - 2.0, size))
    ]
    if step.measure or step.tolerance:
        left = INDENT + label
        told = "; ".join(t for t in (step.measure, step.tolerance) if t)
        rows = wrap(told[:1].upper() + told[1:], wide - left - 2.0, size)
        if any(c.isdigit() for c in step.tolerance):
            read = say(READ)
            last = rows[-1] + ".   " + read
            rows = [*rows[:-1], last] if text_width(last, size) <= wide - left - 2.0 else [*rows, read]
        out.append(Row(text="Measure", left=INDENT, down=line + 0.8, bold=True))
        out += [Row(text=t, left=left, down=line if n else 0.0) for n, t in enumerate(rows)]
    if step.caution:
        left = INDENT + BOX + 3.0
        rows = wrap(step.caution, wide - left - 2.0, size)
        out += [Row(text=t, left=left, down=line + (1.2 if n == 0 else 0.0), sign=n == 0) for n, t in enumerate(rows)]
    return out


def _high(step: Step, wide: float, size: float, close: float) -> float:
    rows = _rows(step, wide, size, close)
    # The sign is higher than a single line.
    below = next((sum(r.down for r in rows[n + 1 :]) for n, r in enumerate(rows) if r.sign), BOX)
    return sum(r.down for r in rows) + max(0.0, BOX - size - below) + 3.4 * close


def _step(flow: Flow, step: Step, size: float) -> None:
    """One step, kept whole."""

    def draw(x: float, y: float, wide: float) -> tuple[Primitive, ...]:
        out: list[Primitive] = [tick_box((x, y - BOX), BOX)]
        for row in _rows(step, wide, size, flow.close):
            y -= row.down
            if row.sign:
                out += caution_sign((x + INDENT, y + size - BOX + 0.3), BOX)
            out.append(Text(at=(x + row.left, y), text=row.text, height=size, bold=row.bold))
        return tuple(out)

    flow.put(_high(step, flow.width, size, flow.close), draw)

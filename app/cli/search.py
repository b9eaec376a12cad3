"""The command search: better stands, what each changes, and how they were found.

JSON: ``{"format":1,"title","aims","size","looked","checked","proven","how","sure","drift","hurdles":[{"id","value","limit",
"help","after","cleared"}],"present":{stand},"front":[...]}``; a stand is ``{"changes":[text],"keys":{key:value},"cost","mass",
"sway","twist","bed","first_mode","clearance","gap","hours","welds","stops":[id],"looks":[id]}`` in the figures' units (N/mm,
N m/deg, Hz, kg, h; welds in m). Null are bed without a bed, gap where nothing turns, hours where they are no aim, help and
after where nothing helps.
"""

from __future__ import annotations

import argparse
import json
import math
import signal
import sys
import time
from collections.abc import Callable
from pathlib import Path
from textwrap import wrap
from typing import TYPE_CHECKING, Any

from app.words import tr

if TYPE_CHECKING:
    from framecore.search import Candidate, Found, Progress, Space

OK = 0
_SHOWN = 12
_WIDE = (3, 8, 7, 7, 8, 5, 6, 5, 5, 5, 4)  # letters in each column of the table, at least
_BUDGET = 1000
_PAUSE = 0.5  # s between two lines of progress


def add_parser(commands: Any, parents: list[argparse.ArgumentParser]) -> None:
    """Add the command to those of the program."""
    p = commands(
        "search", parents, "better stands: lighter, cheaper, stiffer",
        "Lengths without a unit are millimetres. A key without = varies over a sensible list.",
    )
    p.add_argument("file", type=Path, metavar="FILE")
    p.add_argument(
        "--vary", action="append", default=[], metavar="KEY[=CHOICES]",
        help='what may vary, for example "frame.sections.legs=SHS 50x50x3, SHS 60x60x3" or frame.lower_ring=150..350',
    )  # fmt: skip
    p.add_argument("--budget", type=int, default=_BUDGET, metavar="N", help=f"stands looked at, at most ({_BUDGET})")
    p.add_argument("--all", action="store_true", dest="whole", help="look at every stand, however many, and make sure")
    p.add_argument(
        "--aim", action="append", default=[], metavar="NAME",
        help="what it is for, again for more: cost, mass, hours, sway, twist, frequency (all of them)",
    )  # fmt: skip
    p.add_argument("--workers", type=int, default=None, metavar="N", help="processes; the answer is the same (all cores)")
    p.add_argument("--seed", type=int, default=0, metavar="N", help="of the places where a larger search begins (0)")
    p.add_argument("--progress", action="store_true", help="say on the error output how far it is, also without a screen")
    p.add_argument("--json", action="store_true", help="as JSON")


def run_search(args: argparse.Namespace) -> int:
    """Answer one call; raises UsageError, BriefError or LayoutError with a sentence for the maker."""
    from app.beside.cores import hands
    from app.cli.common import load_stand
    from app.cli.parser import UsageError
    from framecore.search import AIMS, search, space_of

    for name, high in (("budget", 10_000_000), ("workers", 64)):
        value = getattr(args, name)
        if value is not None and not 1 <= value <= high:
            message = f"--{name} is {value}; allowed: 1 to {high}, nearest {min(max(value, 1), high)}."
            raise UsageError(message)
    if args.seed < 0:
        message = f"--seed is {args.seed}; allowed: 0 and up, nearest 0."
        raise UsageError(message)
    for aim in args.aim:
        if aim not in AIMS:
            message = f"--aim is {aim!r:.40}; allowed: {', '.join(AIMS)}."
            raise UsageError(message)
    stand = load_stand(args.file)
    space = space_of(stand.brief, stand.frame, wanted(args.vary))
    workers = args.workers or hands(space.size if args.whole else min(args.budget, space.size))
    tell = Teller(stand.shop.currency, time.monotonic) if args.progress or sys.stderr.isatty() else None
    with Interrupt() as pressed:
        found = search(
            stand.brief, space, budget=args.budget, whole=args.whole, workers=workers, seed=args.seed,
            aims=tuple(dict.fromkeys(args.aim)) or tuple(AIMS), progress=tell, cancel=pressed,
        )  # fmt: skip
    title = stand.brief.title
    sys.stdout.write(as_json(found, space, title) if args.json else as_text(found, stand.shop.currency, title))
    return OK


class Interrupt:
    """While it lasts, Control and C ends the search and what was found is printed; a second time ends the program."""

    def __init__(self) -> None:
        self._pressed = False
        self._before: Any = None

    def __enter__(self) -> Interrupt:
        self._before = signal.signal(signal.SIGINT, self._press)
        return self

    def __exit__(self, *_fault: object) -> None:
        signal.signal(signal.SIGINT, self._before)

    def __call__(self) -> bool:
        """Whether it was pressed."""
        return self._pressed

    def _press(self, _number: int, _frame: object) -> None:
        if self._pressed:
            raise KeyboardInterrupt
        self._pressed = True


class Teller:
    """Says on the error output how far a search is, how long it may still take, and what is best so far."""

    def __init__(self, currency: str, clock: Callable[[], float]) -> None:
        self._currency, self._clock = currency, clock
        self._stage, self._begun, self._first, self._last = "", clock(), 0, -math.inf

    def __call__(self, p: Progress) -> None:
        """Write one line, where the last was written a while ago or something else has begun."""
        now = self._clock()
        if p.stage == self._stage and p.looked < p.of and now < self._last + _PAUSE:
            return
        if p.stage != self._stage:
            self._stage, self._first = p.stage, 0 if p.stage == "looking" else p.looked
            self._begun = self._begun if p.stage == "looking" else now
        self._last = now
        done, spent = p.looked - self._first, now - self._begun
        left = f", at most {spent * (p.of - p.looked) / done:.0f} s" if done > 0 else ""
        best = p.best[0]
        what = {"looking": "looked at", "checking": "checked"}.get(p.stage, "tried what helps:")
        told = (
            f"{what} {p.looked} of {p.of}{left}; {len(p.best)} so far, the cheapest {best.cost:.2f} {self._currency}, "
            f"{best.mass:.1f} kg"
        )
        sys.stderr.write(tr(told))
        if best.stops:
            sys.stderr.write(f", {tr(f'stop: {len(best.stops)}')}")
        if p.sketched:
            one = p.sketched[0]
            more = f"; {len(p.sketched)} not yet checked, the cheapest {one.cost:.2f} {self._currency}, {one.mass:.1f} kg"
            sys.stderr.write(tr(more))
        sys.stderr.write("\n")


def wanted(texts: list[str]) -> dict[str, list[str] | None]:
    """Return key -> options as typed, None for a sensible list."""
    out: dict[str, list[str] | None] = {}
    for text in texts:
        key, sign, options = text.partition("=")
        out[key.strip()] = [o.strip() for o in options.split(",") if o.strip()] if sign else None
    return out


def as_json(found: Found, space: Space, title: str) -> str:
    """Return what was found as JSON."""
    whole = {
        "format": 1, "title": title, "aims": list(found.aims), "size": found.size, "looked": found.looked,
        "checked": found.checked,
        "proven": found.proven, "how": found.how, "sure": found.sure, "drift": found.drift if found.drift < 1e9 else None,
        "hurdles": [
            {"id": h.id, "value": h.value, "limit": h.limit, "help": h.help.words if h.help else None, "after": h.after,
             "cleared": h.cleared}
            for h in found.hurdles
        ],
        "present": _record(found.present, space), "front": [_record(c, space) for c in found.front],
    }  # fmt: skip
    return json.dumps(whole, indent=1, ensure_ascii=False, allow_nan=False) + "\n"


def _record(c: Candidate, space: Space) -> dict[str, Any]:
    names = ("cost", "mass", "sway", "twist", "bed", "first_mode", "clearance", "gap", "hours", "welds")
    keys = {k.key: k.options[n] for k, n in zip(space.choices, c.place, strict=True)}
    return {
        "changes": list(c.changes), "keys": keys, **{n: getattr(c, n) for n in names}, "stops": list(c.stops),
        "looks": list(c.looks),
    }  # fmt: skip


def as_text(found: Found, currency: str, title: str) -> str:
    """Return what was found as a table, the changes of each stand under it."""
    heads = ["", currency, "kg", "N/mm", "Nm/deg", tr("bed"), "Hz", tr("gap"), "h", f" {tr('stop')}", tr("look")]
    rows = [heads, _row(tr("now"), found.present)]
    shown = found.front[:_SHOWN]
    rows += [_row(str(n), c) for n, c in enumerate(shown, 1)]
    wide = [max(least, *(len(row[k]) for row in rows)) for k, least in enumerate(_WIDE)]
    table = [" ".join(f"{cell:>{w}}" for cell, w in zip(row, wide, strict=True)) for row in rows]
    lines = [title, "", *table[:2]]
    for c, row in zip(shown, table[2:], strict=True):
        lines.append(row)
        lines += [f"        {tr(change)}" for change in c.changes] or [f"        {tr('as it is')}"]
        lines += [f"        {tr('stop')}: {', '.join(c.stops)}"] if c.stops else []
    if len(found.front) > len(shown):
        lines.append(f"    {tr(f'and {len(found.front) - len(shown)} more; --json lists them all.')}")
    how = (f"{found.how[:1].upper()}{found.how[1:]}; {found.checked} evaluated in full.", found.sure)
    key = (
        "Cost of steel, mass, least sway stiffness, twist stiffness, share of a jack turn that reaches the bed, first "
        "frequency, narrowest gap between a mode and a running speed, hours of welding at most, verdicts. Within 1 %, of "
        "hours 5 %, counts as alike, and a gap as wide as the brief asks as wide enough."
    )
    if found.hurdles:
        none = "No stand of these keeps every limit." if found.proven else "None that was found keeps every limit."
        lines += ["", tr(none)]
        lines += [line for h in found.hurdles for line in wrap("  " + " ".join(map(tr, h.words)), 118)]
    lines += ["", *wrap(" ".join(map(tr, how)), 118), *wrap(tr(key), 118)]
    return "\n".join(lines) + "\n"


def _row(name: str, c: Candidate) -> list[str]:
    bed, gap = ("-" if v is None else f"{v:.2f}" for v in (c.bed, c.gap))
    hours = "-" if c.hours is None else f"{c.hours:.1f}"
    cells = (f"{c.cost:.2f}", f"{c.mass:.1f}", f"{c.sway:.0f}", f"{c.twist:.0f}", bed, f"{c.first_mode:.1f}", gap, hours)
    return [name, *map(tr, cells), str(len(c.stops)), str(len(c.looks))]

"""The command search: better stands, what each changes, and how they were found.

JSON: ``{"format":1,"title","size","looked","checked","proven","how","drift","present":{stand},"front":[...]}``; a
stand is ``{"changes":[text],"keys":{key:value},"cost","mass","sway","twist","bed","first_mode","clearance","welds",
"stops":[id],"looks":[id]}`` in the figures' units (N/mm, N m/deg, Hz, kg; welds in m); bed is null without a bed.
"""

from __future__ import annotations

import argparse
import json
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from framecore.search import Candidate, Found, Space

OK = 0
_SHOWN = 12
_BUDGET = 1000


def add_parser(commands: Any, parents: list[argparse.ArgumentParser]) -> None:
    """Add the command to those of the program."""
    p = commands.add_parser(
        "search", parents=parents, help="better stands: lighter, cheaper, stiffer",
        epilog="Lengths without a unit are millimetres. A key without = varies over a sensible list.",
    )  # fmt: skip
    p.add_argument("file", type=Path)
    p.add_argument(
        "--vary", action="append", default=[], metavar="KEY[=CHOICES]",
        help='what may vary, for example "frame.sections.legs=SHS 50x50x3, SHS 60x60x3" or frame.lower_ring=150..350',
    )  # fmt: skip
    p.add_argument("--budget", type=int, default=_BUDGET, metavar="N", help=f"stands looked at, at most ({_BUDGET})")
    p.add_argument("--workers", type=int, default=1, metavar="N", help="processes (1)")
    p.add_argument("--seed", type=int, default=0, metavar="N", help="of the places where a larger search begins (0)")
    p.add_argument("--json", action="store_true", help="as JSON")


def run_search(args: argparse.Namespace) -> int:
    """Answer one call; raises UsageError, BriefError or LayoutError with a sentence for the maker."""
    from app.cli.main import UsageError, load_stand
    from framecore.search import search, space_of

    for name, high in (("budget", 10_000_000), ("workers", 64)):
        value = getattr(args, name)
        if not 1 <= value <= high:
            message = f"--{name} is {value}; allowed: 1 to {high}, nearest {min(max(value, 1), high)}."
            raise UsageError(message)
    if args.seed < 0:
        message = f"--seed is {args.seed}; allowed: 0 and up, nearest 0."
        raise UsageError(message)
    stand = load_stand(args.file)
    space = space_of(stand.brief, stand.frame, wanted(args.vary))
    found = search(stand.brief, space, budget=args.budget, workers=args.workers, seed=args.seed)
    title = stand.brief.title
    sys.stdout.write(as_json(found, space, title) if args.json else as_text(found, stand.shop.currency, title))
    return OK


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
        "format": 1, "title": title, "size": found.size, "looked": found.looked, "checked": found.checked,
        "proven": found.proven, "how": found.how, "drift": found.drift if found.drift < 1e9 else None,
        "present": _record(found.present, space), "front": [_record(c, space) for c in found.front],
    }  # fmt: skip
    return json.dumps(whole, indent=1, ensure_ascii=False, allow_nan=False) + "\n"


def _record(c: Candidate, space: Space) -> dict[str, Any]:
    names = ("cost", "mass", "sway", "twist", "bed", "first_mode", "clearance", "welds")
    keys = {k.key: k.options[n] for k, n in zip(space.choices, c.place, strict=True)}
    return {
        "changes": list(c.changes), "keys": keys, **{n: getattr(c, n) for n in names}, "stops": list(c.stops),
        "looks": list(c.looks),
    }  # fmt: skip


def as_text(found: Found, currency: str, title: str) -> str:
    """Return what was found as a table, the changes of each stand under it."""
    lines = [title, "", f"{'':>3} {currency:>8} {'kg':>7} {'N/mm':>7} {'Nm/deg':>8} {'bed':>5} {'Hz':>6} {'m':>6}  stop look"]
    lines.append(_row("now", found.present))
    shown = found.front[:_SHOWN]
    for n, c in enumerate(shown, 1):
        lines.append(_row(str(n), c))
        lines += [f"        {change}" for change in c.changes] or ["        as it is"]
        lines += [f"        stop: {', '.join(c.stops)}"] if c.stops else []
    if len(found.front) > len(shown):
        lines.append(f"    and {len(found.front) - len(shown)} more; --json lists them all.")
    lines += [
        "",
        f"{found.how[:1].upper()}{found.how[1:]}; {found.checked} evaluated in full. "
        + ("No stand that is better in everything is missing." if found.proven else "There may be better ones."),
        "Cost of steel, mass, least sway stiffness, twist stiffness, share of a jack turn that reaches the bed, first",
        "frequency, outside of all member ends as a measure of welding, verdicts. Within 1 % counts as alike.",
    ]
    return "\n".join(lines) + "\n"


def _row(name: str, c: Candidate) -> str:
    bed = "-" if c.bed is None else f"{c.bed:.2f}"
    return (
        f"{name:>3} {c.cost:8.2f} {c.mass:7.1f} {c.sway:7.0f} {c.twist:8.0f} {bed:>5} {c.first_mode:6.1f} {c.welds:6.1f}"
        f"  {len(c.stops):4d} {len(c.looks):4d}"
    )

"""Random briefs: every key may be given, in ranges a maker would type; seeded, so that each can be looked at again."""

from __future__ import annotations

import random
import tomllib
from typing import Any

from framecore.brief import Reading, read_brief
from framecore.brief.fields import FIELDS
from framecore.brief.model import KINDS

LAYOUTS = next(f for f in FIELDS if f.path == "frame.layout").kind.options
TUBES = ("SHS 30x30x3", "SHS 40x40x3", "SHS 50x50x3", "SHS 50x50x5", "SHS 60x60x4", "RHS 60x40x3", "HSS 2x2x1/8")
ODD = ("L 50x50x5", "L 60x40x5", "FL 50x6", "UPN 80", "RD 20", "CHS 48.3x3.2", "SHS 100x100x4", "HSS 3x2x1/8", "L2x2x1/8")
# Left alone: they are about words, paper or money and have tests of their own.
SKIPPED = (
    "title", "sheet.", "steel.", "machine.name", "machine.outline", "machine.holes", "machine.kind", "floor.heights",
    "mounting.slot", "mounting.round_holes", "frame.bearers_at",
)  # fmt: skip


def _text(value: Any) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, str):
        return f'"{value}"'
    if isinstance(value, (list, tuple)):
        return "[" + ", ".join(_text(v) for v in value) + "]"
    return f"{value:.6g}"


def _holes(rng: random.Random, length: float, depth: float) -> Any:
    style = rng.random()
    if style < 0.15:
        return []
    if style < 0.85:
        a, b = rng.uniform(80, 0.75 * length), rng.uniform(60, 0.55 * depth)
        return [[0.0, 0.0], [a, 0.0], [0.0, b], [a, b]]
    return [[rng.uniform(0, 800), rng.uniform(0, 300)] for _ in range(rng.randint(1, 8))]


def _value(field: Any, rng: random.Random) -> Any:
    kind = field.kind
    name = type(kind).__name__
    if name == "Choice":
        return rng.choice(kind.options)
    if name == "Count":
        return rng.randint(int(kind.low), int(kind.high))
    if name == "ProfileName":
        return rng.choice(TUBES if rng.random() < 0.85 else ODD)
    if name == "SteelName":
        return rng.choice(("S235", "S355"))
    if name == "ThreadName":
        return rng.choice(("M8", "M10", "M12", "M16", "1/2-13", "3/8-16"))
    if name == "Loads":
        return None
    if name == "Speeds":
        return [rng.uniform(50, 3000) for _ in range(rng.randint(1, 6))]
    if name == "Lengths":
        return None
    if name == "Point":
        return [rng.uniform(-200, 200) for _ in field.default]
    if name == "Text":
        return "x"
    # Most near the usual value, some anywhere in what is allowed.
    if rng.random() < 0.8 and field.default:
        return min(max(field.default * rng.uniform(0.6, 1.6), kind.low), kind.high)
    return rng.uniform(kind.low, kind.high)


def _slots_and_bearers(rng: random.Random, length: float, fixed: dict[str, list[str]]) -> None:
    """Slot some patterns; fix some bearers: under the holes, a little off them, or anywhere."""
    if rng.random() < 0.4:
        ways = next(f for f in FIELDS if f.path == "mounting.slot_way").kind.options
        fixed["mounting"] = [
            f"slot = {_text(rng.choice((1.0, 4.0, 10.0, rng.uniform(0.0, 30.0))))}",
            f'slot_way = "{rng.choice(ways)}"', f'round_holes = "{rng.choice(("hole 1", "none"))}"',
        ]  # fmt: skip
    if rng.random() < 0.3:
        holes = tomllib.loads(fixed["machine"][1])["holes"]
        xs = [x - (min(h[0] for h in holes) + max(h[0] for h in holes)) / 2 for x, _ in holes]
        off = rng.choice((0.0, 0.0, 0.0, 5.0, 40.0))
        at = {round(x, 2) for x in xs} or {rng.uniform(-0.5, 0.5) * length for _ in range(rng.randint(1, 3))}
        if rng.random() < 0.3:
            at.add(rng.uniform(-0.6, 0.6) * length)
        fixed["frame"].append(f"bearers_at = {_text([x + rng.uniform(-off, off) for x in sorted(at)])}")


def random_text(seed: int) -> str:
    """Return a brief as a file would hold it."""
    rng = random.Random(seed)
    tables: dict[str, list[str]] = {}
    wild = rng.choice((0.05, 0.2, 0.5))
    for field in FIELDS:
        if field.path.startswith(SKIPPED) or rng.random() > wild:
            continue
        value = _value(field, rng)
        if value is not None:
            head, _, key = field.path.rpartition(".")
            tables.setdefault(head, []).append(f"{key} = {_text(value)}")
    length, depth = rng.uniform(350, 1900), rng.uniform(300, 900)
    fixed = {
        "machine": [f'kind = "{rng.choice(KINDS)}"', f"holes = {_text(_holes(rng, length, depth))}"],
        "frame": [
            f'layout = "{LAYOUTS[seed % len(LAYOUTS)]}"',
            f"length = {_text(length)}", f"depth = {_text(depth)}",
            f"height = {_text(rng.uniform(450, 1100))}",
        ],
    }  # fmt: skip
    _slots_and_bearers(random.Random(f"{seed} slots"), length, fixed)
    for head, rows in fixed.items():
        own = {r.split(" = ")[0] for r in rows}
        tables[head] = [r for r in tables.get(head, []) if r.split(" = ")[0] not in own] + rows
    body = ["format = 1", *tables.pop("", [])]
    for head, rows in tables.items():
        body += [f"[{head}]", *rows]
    return "\n".join(body) + "\n"


def random_reading(seed: int) -> Reading:
    """Read a random brief."""
    return read_brief(random_text(seed))

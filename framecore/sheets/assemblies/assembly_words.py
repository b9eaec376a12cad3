"""What stands beside an assembly's drawing: how it is laid out, tacked and welded, what it is made of, what is measured."""

from __future__ import annotations

from collections.abc import Sequence

from framecore.sheets.assemblies.assembly_data import Kind
from framecore.sheets.assemblies.assembly_lying import packing, standing_out
from framecore.sheets.drawing.flow import Flow
from framecore.sheets.words import length_words, mass_words
from framecore.shop.assemblies import STAND
from framecore.shop.work import Assembly, Chain, Check, Work
from framecore.stand.model import Stand


def title_of(kind: Kind) -> str:
    """Return the heading: number and name, and which others are made like it."""
    text = f"{kind.number}  {_first_up(kind.assembly.name)}"
    for how, words in (("like", "made like it"), ("mirror", "its mirror image")):
        own = [f"{n} {a.name}" for n, a, h in kind.alike if h == how]
        if own:
            text += f"; {words}: {', '.join(own)}"
    return text


def _first_up(text: str) -> str:
    return text[:1].upper() + text[1:]


def put_words(stand: Stand, work: Work, kind: Kind, flow: Flow, height: float) -> None:
    """Write the words and tables of an assembly down a column."""
    a, words = kind.assembly, length_words(stand)
    size = " × ".join(words(v) for v in a.size)
    flow.line(f"{mass_words(stand, a.mass)} each, {size}" if kind.alike else f"{mass_words(stand, a.mass)}, {size}", height)
    flow.gap(0.8)
    flow.line(a.text, height)
    for line in (*packing(stand, a), *standing_out(stand, a)):
        flow.line(line, height)
    seams = [w for w in work.welds if w.assembly == a.name]
    if seams:
        tacks, runs = sum(len(w.tacks) for w in seams), sum(len(w.runs) for w in seams)
        long = words(sum(w.length for w in seams))
        flow.line(f"{tacks} tacks, then {runs} seams, {long} in all, in the order of the weld map.", height)
    flow.gap(2.0)
    rows = piece_rows(stand, a)
    if rows:
        flow.table(("Mark", "Off", "Piece", "Finished", "Saw to"), rows, "lclrr", height)
        flow.gap(2.0)
    taken = [f"{x.name} ({mass_words(stand, x.mass)})" for x in work.assemblies if x.name in a.takes]
    if taken:
        flow.line(f"It takes {', '.join(taken)}.", height)
        flow.gap(2.0)
    measures = measure_rows(stand, a.checks)
    if measures:
        flow.table(("Measure", "Should be", "Within"), measures, "lrl", height)
    for chain in rows_of(work, a):
        if len(chain.members) > 1 and chain.leave > 0:
            flow.gap(1.0)
            flow.line(
                f"Row {chain.name}: welding takes {words(chain.low)} to {words(chain.high)} off it; its {len(chain.members)} "
                f"pieces are sawn {words(chain.leave)} longer together.", height,
            )  # fmt: skip


def rows_of(work: Work, assembly: Assembly) -> list[Chain]:
    """Return the rows of pieces that run through an assembly's own members."""
    own = set(assembly.members)
    return [c for c in work.chains if own & set(c.members)]


def piece_rows(stand: Stand, assembly: Assembly) -> list[tuple[str, ...]]:
    """Return mark, number off, profile, finished length and length to saw of each piece of an assembly's own."""
    words, mark_of = length_words(stand), stand.shop.piece_of
    pieces = {p.mark: p for p in stand.shop.pieces}
    plates = {p.mark: p for p in stand.shop.plates}
    count: dict[str, list[str]] = {}
    for name in (*assembly.members, *assembly.plates):
        if name in mark_of:
            count.setdefault(mark_of[name], []).append(name)
    out: list[tuple[str, ...]] = []
    for mark, names in sorted(count.items(), key=lambda c: (c[0] in plates, _order(c[0]))):
        if mark in pieces:
            p = pieces[mark]
            out.append((mark, str(len(names)), p.profile.id, words(p.length), words(p.sawn)))
        elif mark in plates:
            q = plates[mark]
            thick = words(q.thickness)
            folded = len(q.names) == 1 and len(names) > 1  # the parts of one folded sheet
            off = "1" if folded else str(len(names))
            out.append((mark, off, f"{q.label} {thick} thick", f"{words(q.length)} × {words(q.width)}", "–"))
    return out


def _order(mark: str) -> tuple[str, int]:
    letters = mark.rstrip("0123456789")
    return letters, int(mark[len(letters) :] or 0)


def measure_rows(stand: Stand, checks: Sequence[Check]) -> list[tuple[str, str, str]]:
    """Return the measures, alike ones of one pair in one row: "diagonals" must agree with each other."""
    words = length_words(stand)

    def about(mm: float) -> str:
        return words(mm).lstrip("~")  # a tolerance is round by itself

    out: list[tuple[str, str, str]] = []
    done: set[str] = set()
    for c in checks:
        if c.pair and c.pair in done:
            continue
        within = f"± {about(c.tolerance)}"
        if c.pair:
            done.add(c.pair)
            values = list(dict.fromkeys(words(o.value) for o in checks if o.pair == c.pair))
            count = sum(o.pair == c.pair for o in checks)
            text = {2: "both ", 4: "all four "}.get(count, "") + c.pair
            if c.pair == "feet diagonals":
                text = "both diagonals, between centres of feet"
            if c.kind == "corner height":
                text = "height at each corner"  # a stand on six feet has four corners too
            if c.kind == "diagonal":
                within = f"alike within {about(c.tolerance)}"
            out.append((text, " / ".join(values), within))
        else:
            out.append((c.text, words(c.value), within))
    return _merged(out)


def _merged(rows: Sequence[tuple[str, str, str]]) -> list[tuple[str, str, str]]:
    """Join rows that say the same of several sides."""
    out: dict[tuple[str, str, str], list[str]] = {}
    for text, value, within in rows:
        head, _, tail = text.partition(", ")
        out.setdefault((head, value, within), []).append(tail)
    return [
        (head + (f", {' and '.join(t for t in tails if t)}" if any(tails) else ""), value, within)
        for (head, value, within), tails in out.items()
    ]


def is_whole(assembly: Assembly) -> bool:
    """Whether it is put together from others: such a one is drawn apart."""
    return assembly.name == STAND or bool(assembly.takes)

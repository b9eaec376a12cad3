"""Figures of the workshop: weld metal and hours, shrinkage, squareness, paint, carrying. Worked out when asked for."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from functools import partial

from framecore.figures._judge import at_most, computed, given
from framecore.figures.model import Answers, Figure, Input, Working
from framecore.shop import allowance, filler, lifting, tolerance
from framecore.shop.work import Lift, Square, Weld, Work


def figures(answers: Answers, work: Work) -> Iterator[Figure]:
    """Yield what the work plan says in numbers."""
    yield from _welding(answers, work)
    yield from _shape(answers, work)
    yield from _paint(answers, work)
    yield from _carrying(work)


def _table(symbol: str, label: str, value: float, unit: str, source: str) -> Input:
    return Input(symbol=symbol, label=label, value=value, unit=unit, origin="table", source=source)


def _by_mark(welds: tuple[Weld, ...]) -> dict[str, list[Weld]]:
    out: dict[str, list[Weld]] = defaultdict(list)
    for w in welds:
        out[w.mark].append(w)
    return out


def _kind(w: Weld) -> str:
    return f"{w.kind} {w.leg:g}" if w.leg else f"{w.kind}, throat {w.throat:.1f}"


def _welding(answers: Answers, work: Work) -> Iterator[Figure]:
    marks, f, brief = _by_mark(work.welds), work.filler, answers.brief
    total = sum(w.length for w in work.welds)
    yield Figure(
        id="welds.length", label="Weld to lay", value=total, unit="mm", group="workshop", note=" ".join(work.notes),
        work=lambda: Working(
            formula="L = Σ n l", inputs=(computed("n", "welds", float(len(work.welds)), "1", "weld map"),
                                         computed("m", "marks", float(len(marks)), "1", "weld map")),
            steps=(
                *(f"{m}: {len(own)} x {_kind(own[0])}: {sum(w.length for w in own):.0f} mm" for m, own in marks.items()),
                f"L = {total:.0f} mm",
            ),
            source="rims of what touches, rounded corners by their arcs; stitches by their own length",
            note=" ".join(work.notes),
        ),
    )  # fmt: skip
    p = filler.PROCESSES[brief.welding.process]
    metal = sum(w.metal for w in work.welds)
    kinds = {k: sum(w.metal for w in work.welds if w.kind == k) for k in dict.fromkeys(w.kind for w in work.welds)}
    yield Figure(
        id="welds.filler", label="Filler to buy", value=f.bought, unit="kg", group="workshop", note=f.text,
        work=lambda: Working(
            formula="m = Σ A l ρ / η; fillet A = 1.1 z² sin φ / 2",
            inputs=(
                given(brief, "welding.leg", "z"), computed("Σ A l", "weld metal", metal * 1e-3, "cm3", "weld map"),
                _table("ρ", "density", filler.DENSITY * 1e9, "kg/m3", "steel"),
                _table("η", f"share that ends in the weld, {brief.welding.process}", p.share, "1", filler.SOURCE),
            ),
            steps=(
                *(f"{k}: {v * 1e-3:.1f} cm³" for k, v in kinds.items()),
                f"laid {metal * 1e-3:.1f} cm³ x 7.85 g/cm³ = {f.deposit:.3f} kg; bought {f.deposit:.3f} / {p.share:g} = "
                f"{f.bought:.3f} kg",
                *((f"gas {f.arc_hours:.2f} h x {p.litres_minute:g} l/min = {f.gas_litres:.0f} l",) if p.litres_minute else ()),
            ),
            source=f"geometry; {filler.SOURCE}",
        ),
    )  # fmt: skip
    low, high = f.hours
    slow, quick = p.arc
    yield Figure(
        id="welds.hours", label="Hours of welding, at most", value=high, unit="h", group="workshop",
        note=f"{low:.1f} to {high:.1f} h with tacking, turning and looking; arc alone {f.arc_hours * 60:.0f} min",
        work=lambda: Working(
            formula="T = m / (q f)",
            inputs=(
                computed("m", "weld metal laid", f.deposit, "kg", "weld map"),
                _table("q", "laid in an hour of arc", p.kg_hour, "kg/h", "about 125 A, common practice"),
                _table("f", "share of the time that the arc burns", slow, "1", "home shop, common practice"),
            ),
            steps=(f"arc {f.deposit:.3f} kg / {p.kg_hour:g} kg/h = {f.arc_hours:.2f} h",
                   f"T = {f.arc_hours:.2f} h / {slow:g} = {high:.2f} h; at a share of {quick:g}: {low:.2f} h"),
            source=filler.SOURCE, note="fitting, sawing and grinding are not in it",
        ),
    )  # fmt: skip


def _shape(answers: Answers, work: Work) -> Iterator[Figure]:
    if work.chains:
        worst = max(work.chains, key=lambda c: c.high / c.tolerance)
        yield Figure(
            id="weld.shrinkage", label=f"Welding shortens {worst.name} by up to", value=worst.high, unit="mm", group="workshop",
            limit=worst.tolerance, limit_kind="max", verdict=at_most(worst.high, worst.tolerance), parts=worst.members,
            note=f"sawn {worst.leave:g} mm longer, then {worst.left:.1f} mm either way is left" if worst.leave else "",
            work=lambda: Working(
                formula="s = Σ s_j; s_j from 0.1 A / t to 0.8 mm a joint",
                inputs=(
                    computed("j", "joints in the row", float(worst.welds), "1", "ends that butt"),
                    computed("l", "row over all", worst.length, "mm", "frame"),
                    _table("s_j", "most a fillet takes", allowance.FILLET_MOST, "mm", "TWI"),
                ),
                steps=(f"{worst.welds} joints: {worst.low:.2f} to {worst.high:.2f} mm",
                       f"allowed over {worst.length:.0f} mm: {worst.tolerance:g} mm"),
                source=f"{allowance.SOURCE}; limit {tolerance.SOURCE}",
                note="what a weld takes can hardly be foretold: measure it",
            ),
        )  # fmt: skip
    for square in work.squares:
        yield _square(square)


def _square(s: Square) -> Figure:
    return Figure(
        id=f"square.{s.name.replace(' ', '_')}", label=f"Lean that welding leaves, {s.name}", value=s.lean, unit="mm/m",
        group="workshop", limit=s.allowed, limit_kind="max", verdict=at_most(s.lean, s.allowed),
        note=f"diagonals then differ by {s.diagonal:.1f} mm" + (f"; class {s.quality} holds" if s.quality else ""),
        work=lambda: Working(
            formula="ε = (s_most - s_least) / 2 / h",
            inputs=(computed("ε", "lean", s.lean, "mm/m", "shrinkage of two rows across from each other"),),
            steps=(s.text, f"ε = {s.lean:.2f} mm in a metre, class B allows {s.allowed:g}"),
            source=f"{allowance.SOURCE}; limit ISO 13920 table 2, class B, from secondary copies",
        ),
    )  # fmt: skip


def _paint(answers: Answers, work: Work) -> Iterator[Figure]:
    plan, part, brief = work.finish, work.painted, answers.brief
    if part is None:
        return
    kept = sum(area for _, area in part.masked)
    yield Figure(
        id="paint.area", label="Area to paint", value=plan.area, unit="m2", group="workshop",
        work=lambda: Working(
            formula="A = A_s + A_e + A_p - A_c - A_o - A_m",
            inputs=(
                computed("A_s", "sides of members", part.sides, "m2", "perimeters by length"),
                computed("A_e", "ends of members", part.ends, "m2", "shapes"),
                computed("A_p", "plates, faces and edges", part.plates, "m2", "shapes"),
                computed("A_c", "steel on steel, both sides", part.contacts, "m2", "what touches"),
                computed("A_o", "openings of holes", part.openings, "m2", "holes"),
                computed("A_m", "kept bare", kept, "m2", "paint plan"),
            ),
            steps=(
                f"{part.sides:.3f} + {part.ends:.3f} + {part.plates:.3f} - {part.contacts:.3f} - {part.openings:.3f} - "
                f"{kept:.3f} = {plan.area:.3f} m²",
                *(f"bare: {name} {area:.4f} m²" for name, area in part.masked),
            ),
            source="geometry of the shapes",
        ),
    )  # fmt: skip
    if plan.coats:
        litres = sum(c.litres for c in plan.coats)
        yield Figure(
            id="paint.volume", label="Paint to buy", value=litres, unit="l", group="workshop",
            work=lambda: Working(
                formula="V = Σ A d / (10 s) (1 + loss)",
                inputs=(
                    computed("A", "area", plan.area, "m2", "paint.area"), given(brief, "finish.top_film", "d"),
                    given(brief, "finish.top_solids", "s"),
                ),
                steps=(*(f"{c.name}: {c.litres:.2f} l for {c.film_um:g} µm dry" for c in plan.coats), f"V = {litres:.2f} l"),
                source="paint makers' data sheets, 10 x volume solids in % over film in µm; losses common practice",
            ),
        )  # fmt: skip


def _carrying(work: Work) -> Iterator[Figure]:
    for lift in work.lifts:
        if lift.name not in ("stand", "machine"):
            continue
        door = (f"door {lift.door:.0f} mm clear and {lift.door_high:.0f} mm high",) if lift.door else ()
        hook = (f"hook of a hoist {lift.hook:.0f} mm over the floor",) if lift.hook else ()
        yield Figure(
            id=f"lift.{lift.name}", label=f"The {lift.name} to lift", value=lift.mass, unit="kg", group="workshop",
            note=lift.text, work=partial(_lifting, lift, (*door, *hook)),
        )  # fmt: skip


def _lifting(lift: Lift, more: tuple[str, ...]) -> Working:
    return Working(
        formula="RWL = 23 kg (25 / H) (1 - 0.003 |V - 75|) (0.82 + 4.5 / D); n people share 2/3 or 1/2 of n RWL",
        inputs=(
            computed("m", "mass", lift.mass, "kg", "shapes or the brief"),
            _table("H", "hands before the ankles, two and more people", lifting.EDGE, "cm", "common practice"),
        ),
        steps=(lift.text, *more), source=lift.source,
        note="a guideline for sound adults with a good grip; who finds it too heavy leaves it to a hoist",
    )  # fmt: skip

"""Turned and small parts of the seat: a section through one foot of the machine, and every part to make from."""

from __future__ import annotations

from framecore.catalogue.bolts import class_words, nut_words
from framecore.figures.words import quantity
from framecore.seat.hardware import Hexagon
from framecore.seat.turned import BoltSet, SeatParts, seat_parts
from framecore.sheets.drawing.blocks import cell_around
from framecore.sheets.drawing.dims import lanes_needed, stack
from framecore.sheets.drawing.flow import Flow
from framecore.sheets.drawing.model import Leader, Primitive, Text, ViewPlacement
from framecore.sheets.drawing.packing import room
from framecore.sheets.paper import SMALL, TITLE_HEIGHT, TITLE_WIDTH, drawing_space
from framecore.sheets.parts.plate_cells import Cell
from framecore.sheets.parts.turned_cells import Cell as Turned
from framecore.sheets.parts.turned_cells import best_scale, cell_of, exact_words, scale_words, shapes_of, shim_cell
from framecore.sheets.seat.seat_section import Section, clamped, extent, half_width, layers_of, section
from framecore.sheets.words import length_words
from framecore.stand.model import Stand

EDGE, BETWEEN = 6.0, 10.0
SECTION = "section"
WORDS, WORDS_SMALL = 130.0, 108.0  # mm wide, of the words beside the section
AIM, AIM_SMALL = 64.0, 60.0  # longest side of a part on paper, mm
MARK, MARK_STEP, MARK_AWAY = 3.0, 7.6, 12.0
HEAD = 17.0  # for the heading over the section
TEXT_LEAST, COLUMN_LEAST = 2.5, 108.0


def cells(stand: Stand, paper: str) -> list[Cell]:
    """Draw the section with its words, then the parts; none where the stand has neither bolts nor parts of this kind."""
    parts = seat_parts(stand.brief, stand.frame, stand.strength)
    if not parts.bolts and parts.boss is None:
        return []
    marks = marks_of(stand, parts)
    out: list[Cell] = []
    if parts.bolts:
        bolt = max(parts.bolts, key=lambda b: b.count)
        drawn, view = _assembly(stand, parts, bolt, marks, paper)
        out.append(cell_around(SECTION, drawn, view))
        wide = WORDS_SMALL if paper in SMALL else WORDS
        flow = Flow([(0.0, -room(paper)[1], wide, 0.0)])
        _words(stand, parts, bolt, marks, flow)
        out += [cell_around("", page, None) for page in flow.pages]
    for part in _parts(stand, parts, marks, paper):
        view, drawn = part.draw((0.0, 0.0))
        out.append(cell_around(part.mark, drawn, view))
    return out


def marks_of(stand: Stand, parts: SeatParts) -> dict[str, str]:
    """Return the mark of every part, T1, T2 ..., and of the pieces they stand on."""
    keys = []
    for name, there in (("screw", parts.screw), ("disc", parts.disc)):
        keys += [name] if there is not None else []
    keys += [f"sleeve {k}" for k in range(len(parts.sleeves))]
    for name, here in (("shim", parts.shim), ("boss", parts.boss), ("lock nut", parts.lock_nut), ("bolt", parts.bolts or None)):
        keys += [name] if here is not None else []
    keys += ["washer", "nut"] if parts.bolts else []
    # T, not S: the order list numbers what is bought by its own count.
    marks = {key: f"T{n}" for n, key in enumerate(keys, 1)}
    block = next((p.name for p in stand.frame.plates if p.name.startswith("jacking block")), "")
    return marks | stand.shop.piece_of | ({"block": stand.shop.piece_of.get(block, "block")} if block else {"block": "block"})


def _assembly(
    stand: Stand, parts: SeatParts, bolt: BoltSet, marks: dict[str, str], paper: str
) -> tuple[list[Primitive], ViewPlacement]:
    """Draw the section with sizes and marks."""
    brief, words = stand.brief, length_words(stand)
    mount = next(m for m in stand.frame.mounts if m.name == bolt.mounts[0])
    layers = layers_of(stand.frame, mount)
    x0, y0, x1, y1 = drawing_space(paper)
    small = paper in SMALL
    floor = y0 + (TITLE_HEIGHT + 4.0 if small else EDGE)
    most = x1 - EDGE - COLUMN_LEAST - BETWEEN - x0 if small else x1 - TITLE_WIDTH - x0 - EDGE
    block = (brief.mounting.block, brief.mounting.block_height)
    low, high = extent(parts, bolt)
    w = half_width(parts, bolt, layers, block[0])
    marks = dict(marks)
    for k, sleeve in enumerate(parts.sleeves):
        if any(q.owner in sleeve.owners for q in layers):
            marks["sleeve"] = marks[f"sleeve {k}"]
    best: tuple[Section, float, float] | None = None
    for s in (1.0, 0.5, 0.25, 0.125) if brief.units != "metric" else (1.0, 0.5, 0.2, 0.1):
        trial = section(parts, bolt, layers, block, mount.hole, (0.0, 0.0), s, marks)
        left = lanes_needed(trial.spans, "left", words)
        wide = left + 2 * w * s + MARK_AWAY + 2.2 * MARK
        tall = max((high - low) * s, MARK_STEP * len(trial.tips)) + 8.0
        best = (trial, s, left)
        if wide <= most and tall <= y1 - EDGE - HEAD - floor:
            break
    assert best is not None
    _, s, left = best
    at = (x0 + EDGE + left + w * s, y1 - EDGE - HEAD - 4.0 - high * s)
    cut = section(parts, bolt, layers, block, mount.hole, at, s, marks)
    title = "Section through one foot of the machine"
    out: list[Primitive] = [Text(at=(x0 + EDGE, y1 - EDGE - 3.5), text=title, height=3.5, bold=True)]
    lines = [f"scale {scale_words(s)}; the machine's foot is taken {words(bolt.foot)} thick: measure yours"]
    lines.append(f"{words(clamped(parts, bolt))} from head to nut is what the bolt clamps")
    if parts.screw is not None and not parts.screw.hollow:
        lines.append("cut along the block's diagonal: widths of tube and block read 1.41 times")
    elif parts.screw is not None:
        lines.append("at the middle setting of the screw")
    elif parts.shim is not None:
        lines.append("with the thickest pack of shims")
    for k, line in enumerate(lines):
        out.append(Text(at=(x0 + EDGE, y1 - EDGE - 8.5 - 4.2 * k), text=line, height=2.5))
    out += cut.primitives
    out += stack(cut.spans, "left", cut.box[0], words)
    out += _balloons(cut, cut.box[2] + MARK_AWAY)
    return out, ViewPlacement(name=SECTION, at=at, scale=s, box=cut.box)


def _balloons(cut: Section, x: float) -> list[Primitive]:
    """Marks in one column right of the section, in the order of their places."""
    tips = sorted(cut.tips, key=lambda t: -t[1][1])
    ys = [t[1][1] for t in tips]
    for n in range(1, len(ys)):
        ys[n] = min(ys[n], ys[n - 1] - MARK_STEP)
    # As far up as they were pushed down at most, so that the column stays beside the section.
    lift = max(0.0, min(cut.box[3] - ys[0] - MARK_STEP / 2, max((t[1][1] - y) for t, y in zip(tips, ys, strict=True)) / 2))
    out: list[Primitive] = []
    for (text, tip), y in zip(tips, ys, strict=True):
        end = (x, y + lift)
        out.append(Leader(points=(tip, end), text=text, height=MARK, circled=True))
    return out


def _words(stand: Stand, parts: SeatParts, bolt: BoltSet, marks: dict[str, str], flow: Flow) -> None:
    """Order of tightening, and what the marks are."""
    flow.heading("Order of tightening")
    for n, line in enumerate(tightening(stand, parts), 1):
        flow.line(f"{n}  {line}", TEXT_LEAST)
    flow.heading("Parts of the seat")
    flow.table(("Mark", "Qty", "What", "Size"), _rows(stand, parts, marks), "lrll", TEXT_LEAST)
    flow.gap(1.5)
    flow.line("Marks T hold for the seat; what of it is bought stands in the order list with its mark S.", TEXT_LEAST)
    if bolt.full_thread:
        flow.note("A shank would stop the nut of this bolt: take one threaded up to its head.", TEXT_LEAST)


def tightening(stand: Stand, parts: SeatParts) -> tuple[str, str, str]:
    """Return the order in three lines."""
    figure = stand.figures.get("mount.torque")
    leaf = "0.05 mm" if stand.brief.units == "metric" else "0.002 in"
    torque = quantity(figure.value, figure.unit, stand.brief.units) if figure else "the torque of the manual"
    if parts.screw is not None:
        same = "" if parts.screw.hollow else ", both screws of a foot alike"
        hold = "by its hexagon" if parts.screw.hollow else "by its flats"
        return (
            f"Bolts loose, lock nuts run up. Turn the screws until every foot bears and the level reads right{same}.",
            f"Hold each screw {hold}, draw its lock nut tight on the block, read the level again.",
            f"Draw the bolts crosswise in two rounds; half of {torque} is plenty. Read again, correct, write it down.",
        )
    if parts.shim is not None:
        return (
            "Bolts loose. Measure the gap under each foot with leaves; lay the pack in from the side, thickest leaf below.",
            "Snug the bolts crosswise by hand; no leaf may be pulled out by two fingers. Read the level.",
            f"Draw the bolts crosswise in two rounds; half of {torque} is plenty. Read again: a change tells"
            " which pack is wrong.",
        )
    return (
        "Set the machine down with all bolts in and loose, washers on both sides, nuts by hand.",
        f"Where a leaf of {leaf} goes in under a foot, fill the gap first: a bolt must never pull a foot down.",
        f"Draw the bolts crosswise in two rounds up to {torque}, dry; the machine's manual goes before.",
    )


def _rows(stand: Stand, parts: SeatParts, marks: dict[str, str]) -> list[tuple[str, ...]]:
    words = exact_words(stand.brief.units)
    rows: list[tuple[str, ...]] = []

    def put(key: str, count: int, what: str, size: str) -> None:
        rows.append((marks[key], str(count), what, size))

    def hexagon(q: Hexagon) -> str:
        return f"{q.standard}: {words(q.across_flats)} across flats, {words(q.height)} high"

    if parts.screw is not None:
        q = parts.screw
        put("screw", q.count, q.kind.removesuffix("s"), f"{q.thread.id} × {words(q.length)}, as drawn")
    if parts.disc is not None:
        size = f"ø{words(parts.disc.diameter)} × {words(parts.disc.thickness)}, as drawn"
        put("disc", parts.disc.count, "hardened disc", size)
    for k, tube in enumerate(parts.sleeves):
        size = f"ø{words(tube.outside)} / {words(tube.bore)} × {words(tube.length)}, as drawn"
        put(f"sleeve {k}", tube.count, "crush sleeve", size)
    if parts.shim is not None:
        put("shim", parts.shim.feet, "pack of horseshoe shims", f"{words(parts.shim.side)} square, as drawn")
    if parts.boss is not None:
        put("boss", parts.boss.count, "boss for a foot's stud", f"{parts.boss.thread.id}, as drawn")
    if parts.lock_nut is not None:
        put("lock nut", parts.lock_nut.count, "lock nut, thin", f"{parts.lock_nut.thread.id}, {hexagon(parts.lock_nut.size)}")
    for bolt in parts.bolts:
        standard = bolt.head.standard if bolt.full_thread else _shank(bolt)
        size = f"{bolt.thread.id} × {words(bolt.length)}, {standard}, {class_words(bolt.bolt_class)}"
        put("bolt", bolt.count, "holding-down bolt", size)
    if parts.bolts:
        one, count = parts.bolts[0], sum(b.count for b in parts.bolts)
        w, disc = one.washer, one.washer.source.split(",", maxsplit=1)[0]
        put("washer", 2 * count, "washer", f"{one.thread.id}, {disc}: ø{words(w.diameter)} × {words(w.thickness)}")
        put("nut", count, "nut", f"{one.thread.id}, {hexagon(one.nut)}, {nut_words(one.bolt_class)}")
    return rows


def _shank(bolt: BoltSet) -> str:
    return "ISO 4014" if bolt.thread.system == "metric" else bolt.head.standard


def _parts(stand: Stand, parts: SeatParts, marks: dict[str, str], paper: str) -> list[Turned]:
    words, inch = exact_words(stand.brief.units), stand.brief.units != "metric"
    aim = AIM_SMALL if paper in SMALL else AIM
    # What is seen from the end stands at the right: in first angle it is the left end.
    flip = stand.brief.sheet.projection != "third angle"
    out = []
    for shape in shapes_of(parts, words, marks):
        out.append(cell_of(shape, best_scale(max(shape.length, shape.wide * 1.3), inch, aim), words, flip))
    if parts.shim is not None:
        out.append(shim_cell(parts.shim, best_scale(parts.shim.side, inch, aim * 0.8), words, marks["shim"]))
    return out

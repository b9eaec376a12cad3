"""A section through one foot of the machine: bolt, screws or shims, block, what it stands on, each with its mark."""

from __future__ import annotations

import math
from dataclasses import dataclass

from framecore.frame._blocks import BESIDE, ROUND, jack_place
from framecore.frame.model import Frame, Member, Mount
from framecore.seat.hardware import Hexagon
from framecore.seat.turned import BoltSet, JackScrew, SeatParts, SleevePart
from framecore.sheets.drawing.dims import Span
from framecore.sheets.drawing.model import Line, Point2, Primitive
from framecore.sheets.drawing.turning import Onto, axis, hatch, phantom

SPARE = 8.0  # mm of the machine's foot and of a plate beyond what stands under or on it


@dataclass(frozen=True, slots=True, kw_only=True)
class Layer:
    """What a bolt passes through below the seat: from ``top`` down to ``bottom``, mm from the seat; ``wall`` 0 solid."""

    owner: str
    top: float
    bottom: float
    half: float
    wall: float
    corner: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """The section: what was drawn, its box, the places of the marks, and sizes at its left; paper mm."""

    primitives: tuple[Primitive, ...]
    box: tuple[float, float, float, float]
    tips: tuple[tuple[str, Point2], ...]
    spans: tuple[Span, ...]


def layers_of(frame: Frame, mount: Mount) -> tuple[Layer, ...]:
    """Return the steel under the seat at one place of the machine, from above."""
    members = {m.name: m for m in frame.members}
    number, seat = mount.name.rsplit(" ", 1)[-1], mount.point[2]
    out = []
    for h in frame.holes:
        if h.purpose != f"machine foot {number}" or h.centre[2] > seat + 1e-6:
            continue
        member, top = members.get(h.owner), h.centre[2] - seat
        if member is None:
            out.append(Layer(owner=h.owner, top=top, bottom=top - h.depth, half=_half(frame, h.owner), wall=0.0, corner=0.0))
            continue
        wide, high = _section(member)
        p = member.profile
        out.append(
            Layer(owner=h.owner, top=top, bottom=top - high, half=wide / 2, wall=p.wall if p.closed else 0.0, corner=p.corner)
        )
    return tuple(sorted(out, key=lambda q: -q.top))


def _section(member: Member) -> Point2:
    """Width and height of a level member as it lies."""
    p = member.profile
    return (p.width, p.height) if abs(member.z_axis[2]) > 0.5 else (p.height, p.width)


def _half(frame: Frame, owner: str) -> float:
    """Half the smaller side of a plate, mm."""
    size = frame.plate(owner).outline.max(axis=0) - frame.plate(owner).outline.min(axis=0)
    return float(size.min()) / 2


def half_width(parts: SeatParts, bolt: BoltSet, layers: tuple[Layer, ...], block: float) -> float:
    """Return half the width that is drawn, mm: of tube and block, along the diagonal where screws stand beside the bolt."""
    stretch = math.sqrt(2) if parts.screw is not None and not parts.screw.hollow else 1.0
    narrow = [q.half for q in layers if q.half < 75.0]
    wide = [block / 2] if parts.screw is not None else [parts.shim.side / 2] if parts.shim is not None else []
    return max([*(stretch * h for h in (*narrow, *wide)), bolt.washer.diameter]) + SPARE


def extent(parts: SeatParts, bolt: BoltSet) -> tuple[float, float]:
    """Return the lowest and highest point of the section from the seat, mm."""
    gap = gap_drawn(parts, bolt)
    top = gap + bolt.foot + bolt.washer.thickness
    return top - bolt.length, top + bolt.head.height


def gap_drawn(parts: SeatParts, bolt: BoltSet) -> float:
    """Return seat to machine's foot as drawn: the middle setting of screws, the thickest pack of shims."""
    return bolt.gap + (bolt.rise if parts.shim is not None else 0.0)


def section(
    parts: SeatParts, bolt: BoltSet, layers: tuple[Layer, ...], block: tuple[float, float], hole: float, at: Point2, s: float,
    marks: dict[str, str],
) -> Section:
    """Draw the section.

    Parameters
    ----------
    block : side and height of the jacking block, mm
    hole : of the bolt in the stand, mm
    at : where bolt axis and seat meet on paper; ``s`` scale
    marks : of parts ("screw", "bolt" ...) and of pieces by name
    """
    to, screw = Onto(at=at, s=s), parts.screw
    beside = screw is not None and not screw.hollow
    stretch = math.sqrt(2) if beside else 1.0
    w, gap = half_width(parts, bolt, layers, block[0]), gap_drawn(parts, bolt)
    low, high = extent(parts, bolt)
    out: list[Primitive] = []
    tips: list[tuple[str, Point2]] = []
    for n, layer in enumerate(layers):
        out += _layer(layer, stretch, w, hole, to, n % 2 == 1)
        edge = min(layer.half * stretch, w)
        inner = layer.wall / 2 if layer.wall else (layer.top - layer.bottom) / 2
        tips.append((marks[layer.owner], to(edge * 0.8, layer.bottom + inner)))
        sleeve = _sleeve_in(parts, layer)
        if sleeve is not None:
            out += _sleeve(sleeve, layer, to)
            tips.append((marks["sleeve"], to(sleeve.outside / 2 - 0.5, (layer.top + layer.bottom) / 2)))
    spans = [Span(to(-w, q.bottom), to(-w, q.top), q.top - q.bottom) for q in layers]
    if screw is not None:
        spans.append(Span(to(-w, 0.0), to(-w, block[1]), block[1]))
        tips.append((marks["block"], to(stretch * block[0] / 2 * 0.94, block[1] * 0.4)))
        centre = jack_place(BESIDE if beside else ROUND, block[0], hole, screw.thread.diameter)[0]
        out += _block(screw, stretch * block[0] / 2, block[1], hole, centre, to)
        out += _screws(screw, block[1], centre, to, parts)
        out_x = centre + screw.across_flats * 0.3 if beside else screw.across_flats * 0.45
        tips.append((marks["screw"], to(out_x, gap - (screw.flats or screw.head) * 0.5)))
        if parts.lock_nut is not None:
            out_x = centre + parts.lock_nut.size.across_flats * 0.45
            tips.append((marks["lock nut"], to(out_x, block[1] + parts.lock_nut.size.height / 2)))
        if parts.disc is not None:
            for side in (-1.0, 1.0):
                out.append(_rect(to, side * centre - parts.disc.diameter / 2, gap - parts.disc.thickness, side * centre
                                 + parts.disc.diameter / 2, gap))  # fmt: skip
            tips.append((marks["disc"], to(centre + parts.disc.diameter * 0.4, gap - parts.disc.thickness / 2)))
    elif parts.shim is not None:
        out += _shims(parts, hole, gap, to)
        tips.append((marks["shim"], to(parts.shim.side / 2 * 0.9, gap - sum(parts.shim.leaves) / 2)))
    if gap > 1e-6:
        spans.append(Span(to(-w, 0.0), to(-w, gap), gap))
    clamp, under = clamped(parts, bolt), high - bolt.head.height
    spans.append(Span(to(-w, under - clamp), to(-w, under), clamp))
    out += phantom([to(-w, gap), to(w, gap), to(w, gap + bolt.foot), to(-w, gap + bolt.foot), to(-w, gap)])
    out += _bolt(bolt, gap + bolt.foot, clamp, to)
    nut = under - clamp
    tips += [
        (marks["bolt"], to(bolt.head.across_corners * 0.35, high - bolt.head.height * 0.5)),
        (marks["washer"], to(bolt.washer.diameter * 0.47, gap + bolt.foot + bolt.washer.thickness / 2)),
        (marks["nut"], to(bolt.nut.across_corners * 0.35, nut - bolt.nut.height * 0.5)),
    ]
    out.append(axis(to(0.0, low), to(0.0, high)))
    x0, y0, x1, y1 = *to(-w, low), *to(w, high)
    return Section(primitives=tuple(out), box=(x0, y0 - 2.0, x1, y1 + 2.0), tips=tuple(tips), spans=tuple(spans))


def clamped(parts: SeatParts, bolt: BoltSet) -> float:
    """Return what lies between head and nut of the bolt as drawn, mm."""
    return bolt.clamp + (bolt.rise if parts.shim is not None else 0.0)


def _rect(to: Onto, x0: float, y0: float, x1: float, y1: float) -> Line:
    return to.line((x0, y0), (x1, y0), (x1, y1), (x0, y1), closed=True)


def _round(half: float, low: float, high: float, r: float, stretch: float) -> list[Point2]:
    """A rectangle with round corners, stretched along x."""
    r = min(r, half, (high - low) / 2)
    out = []
    for cx, cy, turn in ((half - r, high - r, 0), (r - half, high - r, 1), (r - half, low + r, 2), (half - r, low + r, 3)):
        steps = 6 if r > 0.01 else 1
        for k in range(steps):
            a = (turn + (k / (steps - 1) if steps > 1 else 0.0)) * math.pi / 2
            out.append((stretch * (cx + r * math.cos(a)), cy + r * math.sin(a)))
    return out


def _layer(q: Layer, stretch: float, w: float, hole: float, to: Onto, falling: bool) -> list[Primitive]:
    """A tube, bar or plate that is cut; a plate wider than the drawing ends in thin lines."""
    h = hole / 2
    edge = q.half * stretch
    if q.wall > 0:
        outer = _round(q.half, q.bottom, q.top, q.corner, stretch)
        inner = _round(q.half - q.wall, q.bottom + q.wall, q.top - q.wall, max(q.corner - q.wall, 0.0), stretch)
        slots = [((-h, t), (h, t), (h, t + q.wall), (-h, t + q.wall)) for t in (q.bottom, q.top - q.wall)]
        rings = [[to(x, y) for x, y in ring] for ring in (inner, *slots)]
        out: list[Primitive] = [*hatch([to(x, y) for x, y in outer], falling=falling, holes=rings)]
        out += [to.line(*outer, closed=True), to.line(*inner, closed=True)]
        return out + [to.line((k * h, y), (k * h, y + q.wall)) for k in (-1.0, 1.0) for y in (q.bottom, q.top - q.wall)]
    broken = edge > w
    edge = min(edge, w)
    out = []
    for k in (-1.0, 1.0):
        ring = [(k * h, q.bottom), (k * edge, q.bottom), (k * edge, q.top), (k * h, q.top)]
        out += hatch([to(x, y) for x, y in ring], falling=falling)
        out.append(to.line(*ring))
        out.append(to.line((k * h, q.bottom), (k * h, q.top)))
        if broken:
            out[-2] = to.line((k * h, q.bottom), (k * edge, q.bottom))
            out.append(to.line((k * h, q.top), (k * edge, q.top)))
            out.append(to.line((k * edge, q.bottom), (k * edge, q.top), layer="thin"))
    return out


def _sleeve_in(parts: SeatParts, layer: Layer) -> SleevePart | None:
    if layer.wall <= 0:
        return None
    return next((s for s in parts.sleeves if layer.owner in s.owners), None)


def _sleeve(q: SleevePart, layer: Layer, to: Onto) -> list[Primitive]:
    low = layer.bottom + layer.wall
    out: list[Primitive] = []
    for k in (-1.0, 1.0):
        a, b, high = k * q.bore / 2, k * q.outside / 2, low + q.length
        ring = [(a, low), (b, low), (b, high), (a, high)]
        out += hatch([to(x, y) for x, y in ring], step=1.2, falling=True)
        out.append(to.line(*ring, closed=True))
    return out


def _block(q: JackScrew, half: float, high: float, hole: float, centre: float, to: Onto) -> list[Primitive]:
    """The block with the bolt's hole, the screws and the empty thread below them."""
    d, t, low = q.thread.diameter / 2, q.thread.tap_drill / 2, high + q.standing - q.length
    holes = [] if q.hollow else [(-hole / 2, 0.0, hole / 2, high)]
    for x in {centre, -centre}:
        holes += [(x - d, low, x + d, high), (x - t, 0.0, x + t, low)]
    rings = [[to(a, b), to(c, b), to(c, e), to(a, e)] for a, b, c, e in holes]
    out: list[Primitive] = [*hatch([to(-half, 0), to(half, 0), to(half, high), to(-half, high)], falling=True, holes=rings)]
    out.append(_rect(to, -half, 0.0, half, high))
    if not q.hollow:
        out += [to.line((k * hole / 2, 0.0), (k * hole / 2, high)) for k in (-1.0, 1.0)]
    for x in {centre, -centre}:
        for k in (-1.0, 1.0):
            out += [to.line((x + k * t, 0.0), (x + k * t, low)), to.line((x + k * d, 0.0), (x + k * d, low), layer="thin")]
    return out


def _screws(q: JackScrew, top: float, centre: float, to: Onto, parts: SeatParts) -> list[Primitive]:
    """The screws at the middle setting, solid ones from outside, a hollow one cut."""
    d, root, e, leg = q.thread.diameter / 2, q.thread.root_diameter / 2, q.end / 2, q.chamfer
    low, high = top + q.standing - q.length, top + q.standing
    out: list[Primitive] = []
    if q.hollow:
        under, b, w = high - q.head, q.bore / 2, q.across_flats / 2
        for k in (-1.0, 1.0):
            half = [(b, low), (e, low), (d, low + leg), (d, under), (w, under), (w, high), (b, high)]
            ring = [(k * x, y) for x, y in half]
            out += hatch([to(x, y) for x, y in ring], step=1.4)
            out += [to.line(*ring, closed=True), to.line((k * root, low), (k * root, under), layer="thin")]
    else:
        disc, w, flat = parts.disc.thickness if parts.disc else 0.0, q.across_flats / 2, q.flats
        low, high = low - disc, high - disc
        for x in (-centre, centre):
            half = [(e, low), (d, low + leg), (d, high - flat), (w, high - flat), (w, high)]
            out.append(to.line(*[(x + a, y) for a, y in half], *[(x - a, y) for a, y in reversed(half)], closed=True))
            out.append(to.line((x - d, low + leg), (x + d, low + leg)))
            out += [to.line((x + k * root, low), (x + k * root, high - flat), layer="thin") for k in (-1.0, 1.0)]
            out.append(axis(to(x, low), to(x, high)))
    if parts.lock_nut is not None:
        w, m = parts.lock_nut.size.across_flats / 2, parts.lock_nut.size.height
        for x in {centre, -centre}:
            for k in (-1.0, 1.0):
                out.append(_rect(to, x + k * d, top, x + k * w, top + m))
    return out


def _shims(parts: SeatParts, hole: float, gap: float, to: Onto) -> list[Primitive]:
    """Packing plate and leaves, thickest below."""
    q = parts.shim
    out: list[Primitive] = []
    if q is None:
        return out
    y = 0.0
    for n, t in enumerate((*((q.packing,) if q.packing else ()), *q.leaves)):
        for k in (-1.0, 1.0):
            ring = [(k * hole / 2, y), (k * q.side / 2, y), (k * q.side / 2, y + t), (k * hole / 2, y + t)]
            if t >= 1.0:
                out += hatch([to(a, b) for a, b in ring], step=1.2, falling=n % 2 == 0)
            out.append(to.line(*ring, closed=True, layer="visible" if t * to.s >= 1.0 else "thin"))
        y += t
    return out


def _hexagon(q: Hexagon, low: float, to: Onto) -> list[Primitive]:
    """A hexagon on its corners: three faces are seen."""
    e = q.across_corners / 2
    out: list[Primitive] = [_rect(to, -e, low, e, low + q.height)]
    return out + [to.line((k * e / 2, low), (k * e / 2, low + q.height)) for k in (-1.0, 1.0)]


def _bolt(q: BoltSet, foot: float, clamp: float, to: Onto) -> list[Primitive]:
    """Head, washers, nut, and the bolt from outside; its thread from where the shank ends."""
    d, root, disc = q.thread.diameter / 2, q.thread.root_diameter / 2, q.washer
    under = foot + disc.thickness
    nut, end = under - clamp, under - q.length
    leg = (q.thread.diameter - q.thread.root_diameter) / 2
    top = under if q.full_thread else end + q.threaded
    out = [*_hexagon(q.head, under, to), *_hexagon(q.nut, nut - q.nut.height, to)]
    out += [_rect(to, -disc.diameter / 2, y, disc.diameter / 2, y + disc.thickness) for y in (foot, nut)]
    shown = ((under, nut + disc.thickness), (nut - q.nut.height, end + leg))  # not where washer and nut hide it
    for a, b in shown:
        out += [to.line((k * d, a if a != under else foot), (k * d, b)) for k in (-1.0, 1.0)]
        hi = min(a if a != under else foot, top)
        if hi > b:
            out += [to.line((k * root, hi), (k * root, b), layer="thin") for k in (-1.0, 1.0)]
    if not q.full_thread:
        out.append(to.line((-d, top), (d, top)))
    out.append(to.line((-d, end + leg), (-root, end), (root, end), (d, end + leg), (-d, end + leg)))
    return out


"""What is bought by the piece: feet, bolts, nuts, washers, screws, casters, anchors; every count from the frame itself."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

from framecore.brief.model import Brief
from framecore.catalogue import thread as find_thread
from framecore.catalogue.bolts import class_words, nut_words
from framecore.frame.model import Frame
from framecore.seat.hardware import INCH
from framecore.seat.turned import BoltSet, SeatParts
from framecore.shop._fixings import fixings, short
from framecore.shop._say import bolt_words, in_units
from framecore.shop._wheels import wheels
from framecore.shop.model import Bought
from framecore.shop.open_ends import caps
from framecore.strength._floor import stud_over_base
from framecore.strength._ground import EMBEDMENT

LONGEST = 10.0  # diameters: the longest bolt that ISO 4014 lists for a size, from memory


def bought(brief: Brief, frame: Frame, seat: SeatParts) -> tuple[Bought, ...]:
    """Return everything that is bought by the piece, marked S1, S2, ...

    Parameters
    ----------
    seat : the seat's small parts, with the lengths of bolts and screws
    """
    lines = [*_feet(brief, frame, seat), *_bolts(brief, seat), *_jacks(brief, frame, seat), *_shims(brief, seat),
             *_anchors(brief, frame), *fixings(brief, frame), *wheels(brief, frame),
             *_sleeves(brief, seat), *caps(frame)]  # fmt: skip
    units = brief.units
    return tuple(
        replace(
            line, mark=f"S{n}", size=in_units(line.size, units), where=in_units(line.where, units),
            note=in_units(line.note, units),
        )
        for n, line in enumerate((w for w in lines if w.count), 1)
    )  # fmt: skip


def _feet(brief: Brief, frame: Frame, seat: SeatParts) -> Iterator[Bought]:
    if not frame.feet:
        return
    f, units = brief.feet, brief.units
    plates = {p.name: p.thickness for p in frame.plates}
    stud = max(x.top[2] - x.base_height + plates.get(x.pad, 0.0) for x in frame.feet) + f.travel
    stud = max(stud, stud_over_base(f, find_thread(f.thread).diameter))
    step = INCH / 4 if units != "metric" else 1.0  # as studs are sold
    names = tuple(x.name for x in frame.feet)
    yield Bought(
        what="levelling foot",
        size=f"{f.thread} stud at least {short(math.ceil(stud / step) * step, units)} long, base ø{short(f.base, units)}, "
        f"rated {f.rating / 1000:g} kN",
        count=len(frame.feet), where="in the pads" if frame.feet[0].leg else "in the base plate", parts=names,
        note=f"travel {short(f.travel, units)} up and down, base tilts {f.tilt:g}°",
    )  # fmt: skip
    yield Bought(
        what="lock nut", size=f"{f.thread}, thin", count=len(frame.feet), where="on the feet's studs, up against the pad",
        parts=tuple(f"lock nut {n.removeprefix('foot ')}" for n in names), note="often comes with the foot",
    )  # fmt: skip
    if seat.boss is not None:
        yield Bought(
            what="weld nut", size=f.thread, count=seat.boss.count, where="on the pads, for the feet's studs",
            note=f"the pads hold too little thread; or turn bosses ø{seat.boss.outside:g} × {seat.boss.length:g}",
        )  # fmt: skip


def _numbers(bolts: BoltSet) -> list[str]:
    return [m.removeprefix("mount ") for m in bolts.mounts]


def _bolts(brief: Brief, seat: SeatParts) -> Iterator[Bought]:
    """One line a length of bolt, then their nuts and washers."""
    if not seat.bolts:
        return
    units = brief.units
    for b in seat.bolts:
        note = f"machine's foot {short(b.foot, units)} thick" + ("" if brief.mounting.foot_thickness else ", assumed")
        note += f"; clamps {short(b.clamp, units)}"
        if b.length > LONGEST * b.thread.diameter:
            note += "; longer than is usual for the size: threaded rod with two nuts does"
        elif b.full_thread:
            note += "; thread right up to the head"
        yield Bought(
            what="holding-down bolt", size=f"{bolt_words(b.thread, b.length)}, {class_words(b.bolt_class)}", count=b.count,
            where=f"machine feet {', '.join(_numbers(b))}", note=note,
            parts=tuple(f"holding-down bolt {n}" for n in _numbers(b)),
        )  # fmt: skip
    numbers = [n for b in seat.bolts for n in _numbers(b)]
    first, all_ = seat.bolts[0], f"machine feet {', '.join(numbers)}"
    yield Bought(
        what="nut", size=f"{first.thread.id}, {nut_words(first.bolt_class)}", count=len(numbers), where=all_,
        parts=tuple(f"nut {n}" for n in numbers),
    )  # fmt: skip
    yield Bought(
        what="washer", size=f"for {first.thread.id}, ø{short(first.washer.diameter, units)}", count=2 * len(numbers),
        where="under heads and nuts of the holding-down bolts", parts=tuple(f"washers {n}" for n in numbers),
    )  # fmt: skip


def _sleeves(brief: Brief, seat: SeatParts) -> Iterator[Bought]:
    for s in seat.sleeves:
        outside, bore, long = (short(v, brief.units) for v in (s.outside, s.bore, s.length))
        yield Bought(
            what="tube for a crush sleeve", size=f"ø{outside}, bore {bore}, {long} long when faced", count=s.count,
            where="in the tubes, round the holding-down bolts", note="or turn it; drawn with the section of the seat",
        )  # fmt: skip


def _jacks(brief: Brief, frame: Frame, seat: SeatParts) -> Iterator[Bought]:
    s = seat.screw
    if s is None:
        return
    holes = [h.purpose.removeprefix("jack ") for h in frame.holes if h.purpose.startswith("jack ")]
    name = "hollow jacking screw" if s.hollow else "jacking screw"
    parts = tuple(f"{name} {h}" for h in holes)
    size = f"{bolt_words(s.thread, s.blank_length)}, {class_words(s.bolt_class)}"
    how = f"cut to {short(s.length, brief.units)}" + (
        f" over all and bored ø{s.bore:g} through" if s.hollow else ", head off, two flats filed at the upper end"
    )
    yield Bought(
        what=f"hexagon screw for a {name}", size=f"{size}, thread right up to the head", count=len(holes),
        where="jacking blocks under the machine's feet", parts=parts, note=how,
    )  # fmt: skip
    yield Bought(
        what="lock nut", size=f"{s.thread.id}, thin", count=len(holes), where="on the jacking screws, down on the blocks",
        parts=tuple(f"lock nut {h}" for h in holes),
    )  # fmt: skip
    if seat.disc is not None:
        yield Bought(
            what="hardened disc", size=f"ø{seat.disc.diameter:g} × {seat.disc.thickness:g}", count=seat.disc.count,
            where="between jacking screws and the machine's feet", note="or turn it from silver steel",
        )  # fmt: skip


def _shims(brief: Brief, seat: SeatParts) -> Iterator[Bought]:
    if seat.shim is None:
        return
    s = seat.shim
    leaves = ", ".join(f"{leaf:g}" for leaf in sorted(set(s.leaves), reverse=True))
    yield Bought(
        what="set of slotted shims", size=f"{s.side:g} × {s.side:g}, slot {s.slot:g}, leaves {leaves} mm", count=s.feet,
        where="one pack under each foot of the machine", parts=tuple(f"shims {n}" for b in seat.bolts for n in _numbers(b)),
        note="hard stock, clean and flat; few thick leaves rather than many thin ones",
    )  # fmt: skip


def _anchors(brief: Brief, frame: Frame) -> Iterator[Bought]:
    size = brief.floor.anchor
    if size == "none" or not frame.feet:
        return
    wood = brief.floor.kind == "wood"
    d = find_thread(size).diameter
    yield Bought(
        what="coach screw" if wood else "anchor bolt",
        size=f"ø{d:g}, into a joist" if wood else f"{size}, {EMBEDMENT[size]:g} mm into the concrete", count=len(frame.feet),
        where="one beside each foot, by a clamp or a lug on the pad",
        note="length by what it goes through" if wood else "expansion anchor with nut and washer, as its maker's sheet says",
    )  # fmt: skip

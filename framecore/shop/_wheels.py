"""Casters as bought, with the nuts or bolts that hold them."""

from __future__ import annotations

import math
from collections.abc import Iterator

from framecore.brief.model import Brief
from framecore.catalogue.bolts import class_of, class_words
from framecore.frame._casters import FOUR, LIFT, THICK
from framecore.frame.model import Frame
from framecore.seat.hardware import full_nut, sold_length
from framecore.seat.holes import washer
from framecore.shop._fixings import BOLT_CLASS, short
from framecore.shop._say import bolt_words, own_thread
from framecore.shop.model import Bought

STEM = "M12"  # what the brackets' holes take, and 1/2 in too
HUB = 0.3  # of the wheel: its hub along the axle, as the wheels are set out from their brackets (common practice)


def wheels(brief: Brief, frame: Frame) -> Iterator[Bought]:
    """Yield swivel casters with their nuts, or wheels with their axle bolts."""
    if not frame.casters:
        return
    units, wheel = brief.units, f"wheel ø{short(brief.casters.wheel, brief.units)}"
    names, n = tuple(c.name for c in frame.casters), len(frame.casters)
    rated = f"rated {brief.casters.rating:g} kg"
    thread = own_thread(units, STEM)
    nut, disc = full_nut(thread.id).height, washer(thread.id).thickness
    if brief.casters.kind == FOUR:
        stem = math.ceil(2 * LIFT + THICK + 2 * (nut + disc))
        yield Bought(
            what="swivel caster with threaded stem", count=n, where="brackets beside the feet", parts=names,
            size=f"{wheel}, stem {thread.id} at least {short(stem, units)} long, {rated}",
            note="screwed down until the feet are off the floor, for moving only",
        )  # fmt: skip
        yield Bought(
            what="nut", size=thread.id, count=2 * n, where="above and below each caster's bracket",
            parts=tuple(f"nuts {name}" for name in names),
        )  # fmt: skip
        yield Bought(what="washer", size=f"for {thread.id}", count=2 * n, where="above and below each caster's bracket")
        return
    hub = HUB * brief.casters.wheel
    axle = sold_length(thread, THICK + 3 * disc + hub + nut + 2 * thread.pitch)
    yield Bought(
        what="wheel", size=f"{wheel}, bore for {thread.id}, {rated}", count=n, where="brackets outside the feet", parts=names
    )
    yield Bought(
        what="axle bolt", size=f"{bolt_words(thread, axle)}, {class_words(class_of(thread, BOLT_CLASS))}", count=n,
        where="through bracket and wheel",
        note=f"for a hub {short(hub, units)} long, assumed",
    )  # fmt: skip
    yield Bought(what="self-locking nut", size=thread.id, count=n, where="on the axle bolts")
    yield Bought(what="washer", size=f"for {thread.id}", count=3 * n, where="on the axle bolts, both sides of the wheel")

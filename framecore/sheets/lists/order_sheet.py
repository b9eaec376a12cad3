"""The sheet for the merchant and the shops: steel, parts bought by the piece, wire, gas and paint, room for prices."""

from __future__ import annotations

from framecore.catalogue import steel_of
from framecore.sheets.drawing.columns import TICK, columns, drafts, fitted, text_size
from framecore.sheets.drawing.flow import Flow
from framecore.sheets.paper import Draft
from framecore.sheets.words import length_words, mass_unit
from framecore.shop.buying import ROUND, advice, choices, longest, merchant_words
from framecore.stand.model import Stand
from framecore.stand.work import work_of
from framecore.units import FOOT, format_quantity

ASK = "________"  # room for a price in pencil
WHOLE = 0.01  # ft; nearer than this a length is so many feet
CUBIC_FOOT = 28.316846592  # l, as gas is sold where steel is sold in inches


def pages(stand: Stand, paper: str) -> tuple[Draft, ...]:
    """Compose the order."""
    size = text_size(paper)

    def lay(close: float) -> Flow:
        flow = Flow(columns(paper), close=close)
        _steel(stand, flow, size)
        _bought(stand, flow, size)
        _used_up(stand, flow, size)
        return flow

    return drafts(fitted(lay), "order", "Order list")


def _steel(stand: Stand, flow: Flow, size: float) -> None:
    shop = stand.shop
    if not shop.order:
        return
    unit, called = mass_unit(stand)
    flow.heading("Steel", keep=16.0)
    rows = [
        (
            TICK, str(o.count), o.what, _long(stand, o.length), o.detail, f"{o.mass / unit:.1f}",
            f"{o.cost:.2f}" + ("*" if o.price_assumed else ""), ASK,
        )
        for o in shop.order
    ]  # fmt: skip
    rows.append(("", "", "total", "", "", f"{shop.order_mass / unit:.1f}", f"{shop.cost:.2f}", ASK))
    heads = ("Had", "Qty", "What", "Length", "Detail", called, shop.currency, "Their price")
    flow.table(heads, rows, "lrlrlrrl", size)
    flow.gap(1.5)
    if any(o.price_assumed for o in shop.order):
        flow.note("* price assumed: ask, and write theirs beside it.", size)
    _two_ways(stand, flow, size)
    flow.gap(1.5)
    for text in (*_tube_only(stand), *_carry_words(stand)):
        flow.note(text, size)


def _long(stand: Stand, mm: float) -> str:
    """Length of a bar as it is ordered: in inches also in the feet it is sold by, where they are whole."""
    if mm <= 0.0:
        return ""
    text, feet = length_words(stand)(mm), mm / FOOT
    whole = stand.brief.units != "metric" and abs(feet - round(feet)) < WHOLE
    return f"{text} ({feet:.0f} ft)" if whole and feet > 1.0 else text


def _two_ways(stand: Stand, flow: Flow, size: float) -> None:
    """Bars in full lengths against cut to length, profile by profile."""
    shop, words = stand.shop, length_words(stand)
    found = choices(stand.brief, shop)
    if not found:
        return
    unit, called = mass_unit(stand)
    flow.heading("Full bars or cut to length", keep=20.0)
    rows = [
        (
            c.profile, f"{c.full:.2f}", str(c.pieces), words(c.length), f"{c.mass / unit:.1f}", f"{c.cut:.2f}",
            "cut to length" if c.saves > 0.0 else "full bars", f"{abs(c.saves):.2f}",
        )
        for c in found
    ]  # fmt: skip
    money = shop.currency
    heads = ("Profile", f"Full bars, {money}", "Pieces", "Length billed", called, f"Cut, {money}", "Cheaper", f"By, {money}")
    flow.table(heads, rows, "lrrrrrlr", size)
    flow.gap(1.5)
    flow.note(advice(found, money), size)
    flow.note(
        f"Cut to length: every piece with its saw cut up to the next {words(ROUND)}, "
        f"{stand.brief.steel.cut_price_kg * unit:.3g} {money} a {called} and {stand.brief.steel.cut_fee:g} a cut. You still "
        "saw ends that are not square; nothing is left for the rack.",
        size,
    )


def _tube_only(stand: Stand) -> list[str]:
    """Say where tube and the other forms come in two grades: ASTM A500 and A513 are made as tube only, A36 is not."""
    shop, grade = stand.shop, stand.brief.steel.grade
    tube, other = steel_of(grade, tube=True), steel_of(grade, tube=False)
    others = any(not p.profile.closed for p in shop.pieces) or any(p.steel for p in shop.plates)
    if tube.id == other.id or not others or not any(p.profile.closed for p in shop.pieces):
        return []
    least = []
    for steel in (tube, other):
        value, unit = format_quantity(steel.fy, "MPa", stand.brief.units)
        least.append(f"{float(value):.0f} {unit}")
    return [
        f"Tube in {tube.id}, at least {least[0]} yield; angle, bar and plate in {other.id}, at least {least[1]}: the usual "
        "grade of each form."
    ]


def _carry_words(stand: Stand) -> list[str]:
    """What has to be brought home: mass and the longest piece."""
    shop, units = stand.shop, stand.brief.units
    words = length_words(stand)
    mass = " ".join(format_quantity(shop.order_mass, "kg", units))
    out = [f"To carry home: {mass} in all."]
    bars = [b.bar.length for _, plan in shop.plans for b in plan.bars if not b.bar.rack]
    pieces = [p.sawn for p in shop.pieces]
    if bars and pieces:
        out[0] += f" Longest {_long(stand, longest(stand.brief, shop))}; longest piece when sawn {words(max(pieces))}."
    cut = merchant_words(stand.brief, shop, words)
    if cut:
        out.append(f"Ask for these cuts: {cut[:1].lower()}{cut[1:]}")
    rack = [(name, b) for name, plan in shop.plans for b in plan.bars if b.bar.rack]
    if rack:
        listed = ", ".join(f"{name} {words(b.bar.length)}" for name, b in rack)
        out.append(f"From the rack, not bought: {listed}.")
    return out


def _bought(stand: Stand, flow: Flow, size: float) -> None:
    """What comes by the piece: no prices, those have to be asked for."""
    if not stand.shop.bought:
        return
    flow.heading("Bought parts", keep=16.0)
    flow.note("Bought by the piece; their prices are not in the total above: ask.", size)
    rows = [
        (TICK, b.mark, str(b.count), b.what, b.size, "; ".join(t for t in (b.where, b.note) if t), ASK)
        for b in stand.shop.bought
    ]
    flow.table(("Had", "Mark", "Qty", "What", "Size", "Where and note", "Price"), rows, "llrlllr", size)
    if stand.shop.unbolted:
        flow.gap(1.0)
        flow.note(f"Without fasteners: {' '.join(stand.shop.unbolted)}", size)


def _used_up(stand: Stand, flow: Flow, size: float) -> None:
    """Wire, gas and paint."""
    work, units = work_of(stand), stand.brief.units
    rows = []
    f = work.filler
    if f.bought > 0.0:
        wire = " ".join(format_quantity(f.bought, "kg", units))
        rows.append((TICK, f"welding, {stand.brief.welding.process}", wire, f.text, ASK))
    if f.gas_litres > 0.0:
        gas = f"{f.gas_litres:.0f} l" if units == "metric" else f"{f.gas_litres / CUBIC_FOOT:.1f} cu ft"
        rows.append((TICK, "shielding gas", gas, "by the flow of the process while the arc burns", ASK))
    rows += [(TICK, c.name.lower(), " ".join(format_quantity(c.litres, "l", units)), c.text, ASK) for c in work.finish.coats]
    if not rows:
        return
    flow.heading("Wire, gas and paint", keep=16.0)
    flow.table(("Had", "What", "How much", "How it is reckoned", "Price"), rows, "llrlr", size)

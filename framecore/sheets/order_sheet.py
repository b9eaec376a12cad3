"""The sheet for the merchant and the shops: steel, parts bought by the piece, wire, gas and paint, room for prices."""

from __future__ import annotations

from framecore.sheets.columns import columns, drafts, text_size
from framecore.sheets.flow import Flow
from framecore.sheets.paper import Draft
from framecore.sheets.words import length_words
from framecore.stand.model import Stand
from framecore.stand.work import work_of
from framecore.units import format_quantity

ASK = "________"  # room for a price in pencil


def pages(stand: Stand, paper: str) -> tuple[Draft, ...]:
    """Compose the order."""
    flow, size = Flow(columns(paper)), text_size(paper)
    _steel(stand, flow, size)
    _bought(stand, flow, size)
    _used_up(stand, flow, size)
    return drafts(flow, "order", "Order list")


def _steel(stand: Stand, flow: Flow, size: float) -> None:
    shop, words = stand.shop, length_words(stand)
    if not shop.order:
        return
    flow.heading("Steel", keep=16.0)
    rows = [
        (
            "", str(o.count), o.what, words(o.length) if o.length else "", o.detail, f"{o.mass:.1f}",
            f"{o.cost:.2f}" + ("*" if o.price_assumed else ""), ASK,
        )
        for o in shop.order
    ]  # fmt: skip
    rows.append(("", "", "total", "", "", f"{shop.order_mass:.1f}", f"{shop.cost:.2f}", ASK))
    heads = ("Had", "Qty", "What", "Length", "Detail", "kg", shop.currency, "Their price")
    flow.table(heads, rows, "lrlrlrrl", size)
    if any(o.price_assumed for o in shop.order):
        flow.note("* price assumed: ask, and write theirs beside it.", size)
    for text in _carry_words(stand):
        flow.note(text, size)


def _carry_words(stand: Stand) -> list[str]:
    """What has to be brought home: mass and the longest piece."""
    shop, units = stand.shop, stand.brief.units
    words = length_words(stand)
    mass = " ".join(format_quantity(shop.order_mass, "kg", units))
    out = [f"To carry home: {mass} in all."]
    bars = [b.bar.length for _, plan in shop.plans for b in plan.bars if not b.bar.rack]
    pieces = [p.length for p in shop.pieces]
    if bars and pieces:
        out[0] += f" Longest bar {words(max(bars))}; longest piece when sawn {words(max(pieces))}."
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
        ("", b.mark, str(b.count), b.what, b.size, "; ".join(t for t in (b.where, b.note) if t), ASK)
        for b in stand.shop.bought
    ]
    flow.table(("Had", "Mark", "Qty", "What", "Size", "Where and note", "Price"), rows, "llrlllr", size)


def _used_up(stand: Stand, flow: Flow, size: float) -> None:
    """Wire, gas and paint."""
    work, units = work_of(stand), stand.brief.units
    rows = []
    f = work.filler
    if f.bought > 0.0:
        wire = " ".join(format_quantity(f.bought, "kg", units))
        rows.append(("", f"welding, {stand.brief.welding.process}", wire, f.text, ASK))
    if f.gas_litres > 0.0:
        rows.append(("", "shielding gas", f"{f.gas_litres:.0f} l", "by the flow of the process while the arc burns", ASK))
    rows += [("", c.name.lower(), " ".join(format_quantity(c.litres, "l", units)), c.text, ASK) for c in work.finish.coats]
    if not rows:
        return
    flow.heading("Used up", keep=16.0)
    flow.table(("Had", "What", "How much", "How it is reckoned", "Price"), rows, "llrlr", size)

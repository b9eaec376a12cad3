"""Pieces -> cut plans, order and cost."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import lru_cache

from framecore.brief.model import Brief
from framecore.catalogue import steel_of
from framecore.catalogue.model import Profile
from framecore.cutting import Bar, CutPlan, Piece, plan_cuts
from framecore.frame.model import Frame
from framecore.seat.turned import SeatParts
from framecore.shop._say import in_units, size
from framecore.shop.allowance import end_pulls, longer
from framecore.shop.bought import bought
from framecore.shop.model import OrderLine, Shop, ShopPiece, ShopPlate
from framecore.shop.nests import nests_of, on_sheets, sheet_lines
from framecore.shop.pieces import shop_pieces, shop_plates
from framecore.shop.unbolted import unbolted
from framecore.solids.model import Solids
from framecore.units import format_length

# What merchants stock when the brief names no lengths, mm: 6 m bars, 20 ft in inch countries (common practice).
USUAL_BAR = {"metric": 6000.0, "inch": 6096.0}


@lru_cache(maxsize=256)
def _planned(pieces: tuple[Piece, ...], bars: tuple[Bar, ...], kerf: float) -> CutPlan:
    """Plan once what has not changed: a height drag leaves most profiles as they are."""
    return plan_cuts(pieces, bars, kerf=kerf)


def build_shop(brief: Brief, frame: Frame, solids: Solids, seat: SeatParts | None = None) -> Shop:
    """Work out pieces, the cheapest bars for each profile, and the order.

    ``seat``: small parts of the seat, whose screws and bolts are bought; without them nothing bought is listed.

    Raises
    ------
    CuttingError
        A piece is longer than every length that is sold or on the rack.
    """
    pieces, marks = shop_pieces(frame, solids, {n: longer(p) for n, p in end_pulls(brief, frame).items()})
    plates = tuple(replace(p, note=in_units(p.note, brief.units)) for p in shop_plates(frame, solids, marks))
    plans = []
    order: list[OrderLine] = []
    for profile_id in dict.fromkeys(p.profile.id for p in pieces):
        own = [p for p in pieces if p.profile.id == profile_id]
        plan = _planned(
            tuple(Piece(mark=p.mark, length=p.sawn, count=len(p.members)) for p in own),
            bars_for(brief, own[0].profile), brief.steel.kerf,
        )  # fmt: skip
        plans.append((profile_id, plan))
        order += _bar_lines(brief, own[0].profile, plan)
    nests = nests_of(brief, frame, plates)
    order += sheet_lines(brief, nests)
    order += _plate_lines(brief, tuple(p for p in plates if not on_sheets(brief, p)))
    small = bought(brief, frame, seat) if seat is not None else ()
    gross = sum(b.bar.length for _, plan in plans for b in plan.bars if not b.bar.rack)
    net = sum(c.length for _, plan in plans for b in plan.bars if not b.bar.rack for c in b.cuts)
    return Shop(
        pieces=pieces, plates=plates, plans=tuple(plans), order=tuple(order), piece_of=marks,
        cost=sum(line.cost for line in order), order_mass=sum(line.mass for line in order),
        yield_share=net / gross if gross else 1.0, currency=brief.steel.currency, bought=small, nests=nests,
        unbolted=unbolted(brief, frame),
        bought_of={name: line.mark for line in small for name in line.parts}, seat=seat,
    )  # fmt: skip


def bars_for(brief: Brief, profile: Profile) -> tuple[Bar, ...]:
    """Return the lengths of one profile that can be had: sold near by, and on the rack."""
    steel = brief.steel
    sold = [s for s in steel.sold if s.profile == profile.id] or [s for s in steel.sold if not s.profile]
    lengths: Sequence[tuple[float, float]] = [(s.length, s.price) for s in sold]
    if not lengths:
        lengths = [(USUAL_BAR[profile.system], 0.0)]
    bought = [
        Bar(name=f"{length:.0f} mm", length=length, price=price or _price(brief, profile, length), trim=steel.trim)
        for length, price in lengths
    ]
    rack = [
        Bar(name=f"rack {n + 1}", length=r.length, price=0.0, available=r.count, rack=True)
        for n, r in enumerate(steel.rack)
        if r.profile == profile.id
    ]
    return (*bought, *rack)


def _price(brief: Brief, profile: Profile, length: float) -> float:
    return profile.kg_per_m * length / 1000 * brief.steel.price_kg


def _bar_lines(brief: Brief, profile: Profile, plan: CutPlan) -> list[OrderLine]:
    """One line a length of this profile that is bought."""
    assumed, grade = "steel.price_kg" in brief.assumed, steel_of(brief.steel.grade, tube=profile.closed).id
    out = []
    for bar in dict.fromkeys(b.bar for b in plan.bars if not b.bar.rack):
        count = sum(b.bar == bar for b in plan.bars)
        out.append(
            OrderLine(
                what=profile.id, detail=f"{profile.shape}, {grade}", count=count, length=bar.length,
                mass=count * profile.kg_per_m * bar.length / 1000, cost=count * bar.price, price_assumed=assumed,
            )
        )  # fmt: skip
    return out


def _plate_lines(brief: Brief, plates: tuple[ShopPlate, ...]) -> list[OrderLine]:
    """One line a kind of steel plate; wood is left to the maker."""
    steel = steel_of(brief.steel.grade, tube=False)
    out = []
    for p in plates:
        if not p.steel:
            continue
        # Sheet is paid by the rectangle it is cut from.
        mass = p.length * p.width * p.thickness * steel.density * 1e-9 * len(p.names)
        out.append(
            OrderLine(
                what=f"plate {size(brief.units, p.thickness)}",
                detail=f"{p.mark}, {p.label} {_sides(brief.units, p)}, {steel.id}",
                count=len(p.names), length=0.0, mass=mass, cost=mass * brief.steel.sheet_price_kg,
                price_assumed="steel.sheet_price_kg" in brief.assumed,
            )
        )  # fmt: skip
    return out


def _sides(units: str, p: ShopPlate) -> str:
    """Length and width as they are ordered: whole millimetres, or inches."""
    if not units.startswith("inch"):
        return f"{p.length:.0f} × {p.width:.0f}"
    return f"{format_length(p.length, units, unit=False)} × {format_length(p.width, units)}"


__all__ = ["ShopPiece", "ShopPlate", "bars_for", "build_shop"]

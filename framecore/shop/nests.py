"""Steel plates laid out on whole sheets: one nest a thickness."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np

from framecore import cutting
from framecore.brief.model import Brief
from framecore.catalogue import steel_of
from framecore.frame.model import Frame
from framecore.shop.model import OrderLine, ShopPlate
from framecore.units import format_length

if TYPE_CHECKING:
    from framecore.cutting import SheetPart, SheetPlan, SheetStock
    from framecore.cutting.nest_model import Mode, Point

    Nest = tuple[float, SheetPlan]

# What merchants stock when the brief names no sheets: 1 x 2 m and 1.25 x 2.5 m; 4 x 8 ft and 4 x 4 ft (common practice).
USUAL_SHEETS = {"metric": ((2000.0, 1000.0), (2500.0, 1250.0)), "inch": ((2438.4, 1219.2), (1219.2, 1219.2))}
EFFORT = 0.5  # of the search, so that a changed plate does not hold up the window
ALIKE = 0.05  # sheets that differ by less are of one thickness, mm


@lru_cache(maxsize=128)
def _planned(
    parts: tuple[SheetPart, ...], stock: tuple[SheetStock, ...], gap: float, edge: float, mode: Mode
) -> SheetPlan:
    """Plan once what has not changed: a height drag leaves plates as they are."""
    return cutting.plan_sheets(parts, stock, gap=gap, edge=edge, mode=mode, effort=EFFORT)


def nests_of(brief: Brief, frame: Frame, plates: Sequence[ShopPlate]) -> tuple[Nest, ...]:
    """Return a nest for each thickness that comes as whole sheets, thickest last; empty where all come cut to size.

    Raises
    ------
    CuttingError
        a plate fits on no sheet that is sold.
    """
    by_thickness: dict[float, list[SheetPart]] = {}
    for p in plates:
        if on_sheets(brief, p):
            by_thickness.setdefault(round(p.thickness, 3), []).append(_part(frame, p))
    mode: Mode = "free" if brief.steel.sheets_cut == "any shape" else "guillotine"
    return tuple(
        (t, _planned(tuple(parts), sheets_for(brief, t), brief.steel.sheet_gap, brief.steel.sheet_edge, mode))
        for t, parts in sorted(by_thickness.items())
    )


def on_sheets(brief: Brief, plate: ShopPlate) -> bool:
    """Return whether plates of this kind are cut from whole sheets by the maker."""
    steel = brief.steel
    if steel.plates_from != "whole sheets" or not plate.steel:
        return False
    return plate.thickness <= steel.sheets_up_to or any(abs(s.thickness - plate.thickness) < ALIKE for s in steel.sheets)


def _part(frame: Frame, kind: ShopPlate) -> SheetPart:
    plate = frame.plate(kind.names[0])
    rim: list[Point]
    if plate.sheet:
        from framecore.shop.flat import flat_pattern  # few stands have folded sheets

        rim = list(flat_pattern([p for p in frame.plates if p.sheet == plate.sheet]).outline)
    else:
        rim = [(float(a), float(b)) for a, b in plate.outline]
    corners = np.array(rim)
    corners -= corners.min(axis=0)
    length, width = corners.max(axis=0).tolist()
    square = len(corners) == 4 and bool(np.all((np.abs(corners) < 1e-6) | (np.abs(corners - (length, width)) < 1e-6)))
    # A folded sheet's notches are cut after it: for the nest it is the rectangle about it.
    outline = () if square or plate.sheet else tuple((round(a, 6), round(b, 6)) for a, b in corners.tolist())
    return cutting.SheetPart(
        mark=kind.mark, length=round(length, 6), width=round(width, 6), count=len(kind.names), outline=outline
    )


def sheets_for(brief: Brief, thickness: float) -> tuple[SheetStock, ...]:
    """Return the sheets of one thickness that can be had."""
    steel = brief.steel
    sold = [s for s in steel.sheets if abs(s.thickness - thickness) < ALIKE] or [s for s in steel.sheets if not s.thickness]
    sizes = [(s.length, s.width, s.price) for s in sold]
    if not sizes:
        sizes = [(a, b, 0.0) for a, b in USUAL_SHEETS["metric" if brief.units == "metric" else "inch"]]
    each = thickness * steel_of(steel.grade, tube=False).density * 1e-9 * steel.sheet_price_kg
    return tuple(
        cutting.SheetStock(
            name=_size(brief, max(a, b), min(a, b)), length=max(a, b), width=min(a, b), price=price or a * b * each
        )
        for a, b, price in sizes
    )


def _size(brief: Brief, length: float, width: float) -> str:
    if brief.units == "metric":
        return f"{length:.0f} × {width:.0f} mm"
    return f"{format_length(length, brief.units, unit=False)} × {format_length(width, brief.units)}"


def sheet_lines(brief: Brief, nests: Sequence[Nest]) -> list[OrderLine]:
    """One line a size of whole sheets that is bought."""
    steel = steel_of(brief.steel.grade, tube=False)
    out = []
    for thickness, plan in nests:
        for sheet in dict.fromkeys(plan.sheets):
            count = plan.sheets.count(sheet)
            marks = dict.fromkeys(p.mark for p in plan.placements if plan.sheets[p.sheet] == sheet)
            mass = count * sheet.length * sheet.width * thickness * steel.density * 1e-9
            given = any(s.price and {s.length, s.width} == {sheet.length, sheet.width} for s in brief.steel.sheets)
            out.append(
                OrderLine(
                    what=f"sheet {thickness:g} mm", detail=f"{sheet.name}, {steel.id}, for {', '.join(marks)}",
                    count=count, length=0.0, mass=mass, cost=count * sheet.price,
                    price_assumed=not given and "steel.sheet_price_kg" in brief.assumed,
                )
            )  # fmt: skip
    return out

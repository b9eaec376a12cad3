"""Sheets that are sold, as the brief lists them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from framecore.brief._rows import rows_of, table_of
from framecore.brief._single import Kind, Length, Price, SheetThickness


@dataclass(frozen=True, slots=True, kw_only=True)
class SoldSheet:
    """A sheet size sold, mm; ``thickness`` 0: every thickness; ``price`` a sheet, 0: by mass."""

    length: float
    width: float
    thickness: float = 0.0
    price: float = 0.0


@dataclass(frozen=True, kw_only=True)
class Sheets(Kind):
    """Sheet sizes sold."""

    def read(self, value: Any, system: str) -> tuple[SoldSheet, ...]:
        """Read the sheet sizes sold."""
        side = Length(low=100, high=6500)
        out = []
        for row in rows_of(value, "sheet sizes"):
            t = table_of(row, ("length", "width"), ("thickness", "price"))
            out.append(
                SoldSheet(
                    length=side.read(t["length"], system) or 0.0,
                    width=side.read(t["width"], system) or 0.0,
                    thickness=SheetThickness(low=0.3, high=100, zero=True).read(t.get("thickness", 0.0), system) or 0.0,
                    price=Price(low=0, high=1e6).read(t.get("price", 0.0), system) or 0.0,
                )
            )
        return tuple(out)

"""The lists for saw and merchant as text, one row a line.

Heads and names are in the language that is spoken. Where that has a decimal comma the columns are parted by semicolons
and the file begins with the mark of its encoding, so that a spreadsheet of that language opens it as it is.
"""

from __future__ import annotations

import csv
from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING

from app.words import tr
from framecore.words import ENGLISH, current, decimal_sign

if TYPE_CHECKING:
    from pathlib import Path

    from framecore.stand.model import Stand

# Head of the column in English, which scripts rely on, and what it is called where another language is spoken.
CUT_LIST = {
    "mark": "Mark", "count": "Count", "profile": "Profile or plate", "length_mm": "Length mm", "saw_length_mm": "Saw to mm",
    "short_length_mm": "Short mm", "end_1": "End 1", "end_2": "End 2", "holes": "Holes", "chamfer_mm": "Chamfer mm",
    "mass_kg": "Mass each kg", "members": "Where", "note": "Note",
}  # fmt: skip
ORDER = {
    "what": "What", "detail": "Detail", "count": "Count", "length_mm": "Length mm", "mass_kg": "Mass kg",
}  # fmt: skip


def write_cut_list(stand: Stand, path: Path) -> None:
    """Write every kind of piece and plate.

    Raises
    ------
    OSError
        the file cannot be written.
    """
    shop = stand.shop
    pieces = (
        (p.mark, len(p.members), p.profile.id, _number(p.length, 1), _number(p.sawn, 1), _number(p.short_length, 1),
         *map(tr, p.ends), p.holes, _number(p.chamfer, 1), _number(p.mass, 3), "; ".join(map(tr, p.members)), tr(p.note))
        for p in shop.pieces
    )  # fmt: skip
    plates = (
        (q.mark, len(q.names), tr(f"{q.label}, {q.width:.1f} wide, {q.thickness:.1f} thick"), _number(q.length, 1), "", "",
         "", "", q.holes, "", _number(q.mass, 3), "; ".join(map(tr, q.names)), tr(q.note))
        for q in shop.plates
    )  # fmt: skip
    _write(path, CUT_LIST, [*pieces, *plates])


def write_order(stand: Stand, path: Path) -> None:
    """Write what is ordered and what is bought; raises as ``write_cut_list``."""
    shop = stand.shop
    steel = (
        (tr(o.what), tr(o.detail), o.count, _number(o.length, 0) if o.length else "", _number(o.mass, 2), _number(o.cost, 2),
         tr("assumed" if o.price_assumed else "given"))
        for o in shop.order
    )  # fmt: skip
    bought = (
        (tr(b.what), "; ".join(tr(t) for t in (b.size, b.where, b.note) if t), b.count, "", "", "", tr("ask"))
        for b in shop.bought
    )
    cost = {f"cost_{shop.currency}": f"Cost {shop.currency}"}
    _write(path, ORDER | cost | {"price": "Price"}, [*steel, *bought])


def _number(value: float, places: int) -> str:
    return f"{value:.{places}f}".replace(".", decimal_sign())


def _write(path: Path, heads: Mapping[str, str], rows: Iterable[Sequence[object]]) -> None:
    comma = decimal_sign() == ","
    with path.open("w", newline="", encoding="utf-8-sig" if comma else "utf-8") as file:
        table = csv.writer(file, delimiter=";" if comma else ",")
        table.writerow(heads if current() == ENGLISH else map(tr, heads.values()))
        table.writerows(rows)

"""Every plate of the stand, each kind once and to scale, as many on a page as there is room for."""

from __future__ import annotations

from framecore.sheets.model import Primitive, ViewPlacement
from framecore.sheets.packing import pack, room
from framecore.sheets.paper import Draft
from framecore.sheets.part import part_of
from framecore.sheets.plate_cells import Cell, plate_cell
from framecore.stand.model import Stand

BETWEEN = 12.0  # between parts, mm


def pages(stand: Stand, paper: str) -> tuple[Draft, ...]:
    """Draw every kind of plate, wooden ones too; as many pages as they need, none where there is none."""
    cells = [_cell(stand, k, paper) for k in range(len(stand.shop.plates))]
    places = pack([c.size for c in cells], paper, BETWEEN)
    count = max((n for n, _ in places), default=-1) + 1
    drafts = []
    for page in range(count):
        primitives: list[Primitive] = []
        views: list[ViewPlacement] = []
        scales = set()
        for cell, (n, at) in zip(cells, places, strict=True):
            if n == page:
                view, drawn = cell.at(at)
                views.append(view)
                primitives += drawn
                scales.add(cell.n)
        drafts.append(
            Draft(
                title="plates" if count == 1 else f"plates {page + 1}", kind="Part drawing", primitives=tuple(primitives),
                views=tuple(views), scale_text=f"1:{min(scales)}" if len(scales) == 1 else "as noted",
            )
        )  # fmt: skip
    return tuple(drafts)


def _cell(stand: Stand, k: int, paper: str) -> Cell:
    kind = stand.shop.plates[k]
    plate = stand.frame.plate(kind.names[0])
    return plate_cell(stand, kind, part_of(stand.frame, plate), paper, room(paper))

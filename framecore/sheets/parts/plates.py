"""Every plate of the stand, each kind once and to scale, as many on a page as there is room for."""

from __future__ import annotations

from collections.abc import Sequence

from framecore.sheets.drawing.model import Point2, Primitive, ViewPlacement
from framecore.sheets.drawing.packing import pack, room
from framecore.sheets.paper import Draft
from framecore.sheets.parts.flat_cells import flat_cells
from framecore.sheets.parts.part import part_of
from framecore.sheets.parts.plate_cells import Cell, plate_cell
from framecore.stand.model import Stand

BETWEEN = 12.0  # between parts, mm
SMALLER = 0.6  # of the size aimed at, where that saves a page


def pages(stand: Stand, paper: str) -> tuple[Draft, ...]:
    """Draw every kind of plate, wooden ones too; as many pages as they need, none where there is none."""
    space = room(paper)
    groups = [_cells(stand, k, paper, space) for k in range(len(stand.shop.plates))]
    places = _packed(groups, paper)
    if _count(places) > 1:
        # Drawn smaller they may need a page less; what then still has room is drawn larger again.
        smaller = [_cells(stand, k, paper, space, SMALLER) for k in range(len(stand.shop.plates))]
        trial = _packed(smaller, paper)
        if _count(trial) < _count(places):
            groups, places = smaller, trial
    _enlarge(stand, paper, space, groups, places)
    cells = [c for group in groups for c in group]
    laid = [at for group in places for at in group]
    count = _count(places)
    drafts = []
    for page in range(count):
        primitives: list[Primitive] = []
        views: list[ViewPlacement] = []
        scales = set()
        for cell, (n, at) in zip(cells, laid, strict=True):
            if n == page:
                view, drawn = cell.at(at)
                primitives += drawn
                if view:
                    views.append(view)
                    scales.add(cell.scale_text)
        drafts.append(
            Draft(
                title="plates" if count == 1 else f"plates {page + 1}", kind="Part drawing", primitives=tuple(primitives),
                views=tuple(views), scale_text=min(scales) if len(scales) == 1 else "as noted",
            )
        )  # fmt: skip
    return tuple(drafts)


def _packed(groups: Sequence[Sequence[Cell]], paper: str) -> list[list[tuple[int, Point2]]]:
    """Places in order of mark, or of height or width where that saves pages."""
    sizes = [[c.size for c in g] for g in groups]
    plain = list(range(len(sizes)))
    best: list[list[tuple[int, Point2]]] = []
    for order in (plain, *(sorted(plain, key=lambda i: -max((z[k] for z in sizes[i]), default=0.0)) for k in (1, 0))):
        laid = pack([sizes[i] for i in order], paper, BETWEEN)
        places = [laid[order.index(i)] for i in plain]
        if not best or _count(places) < _count(best):
            best = places
    return best


def _count(places: Sequence[Sequence[tuple[int, Point2]]]) -> int:
    return max((n for group in places for n, _ in group), default=-1) + 1


def _enlarge(
    stand: Stand, paper: str, space: Point2, groups: list[list[Cell]], places: list[list[tuple[int, Point2]]]
) -> None:
    """Draw plates larger, one scale up, where that takes no further page."""
    pages = _count(places)
    for k, group in enumerate(groups):
        kind = stand.shop.plates[k]
        plate = stand.frame.plate(kind.names[0])
        if plate.sheet or group[0].scale_text == "1:1":
            continue
        larger = plate_cell(stand, kind, part_of(stand.frame, plate), paper, space, larger_than=group[0])
        if larger is None:
            continue
        trial = _packed([*groups[:k], [larger], *groups[k + 1 :]], paper)
        if _count(trial) <= pages:
            groups[k], places[:] = [larger], trial


def _cells(stand: Stand, k: int, paper: str, space: Point2, share: float = 1.0) -> list[Cell]:
    kind = stand.shop.plates[k]
    plate = stand.frame.plate(kind.names[0])
    if plate.sheet:
        return flat_cells(stand, kind, paper, space)
    cell = plate_cell(stand, kind, part_of(stand.frame, plate), paper, space, share=share)
    return [cell] if cell else []

"""Shop sheets: a stand becomes frozen drawing primitives, and pens put them on paper or in a file.

A new sheet is one new module with ``pages(stand, paper)`` in one of the rooms and one line in ``SHEETS``.
"""

from __future__ import annotations

from framecore.sheets.assemblies import assembly_sheets, general
from framecore.sheets.compose import Pages, compose_with
from framecore.sheets.drawing.dims import overlaps
from framecore.sheets.drawing.dxf import write_dxf
from framecore.sheets.drawing.model import Sheet
from framecore.sheets.drawing.pdf import write_pdf
from framecore.sheets.drawing.svg import write_svg
from framecore.sheets.lists import cover, cut_sheet, order_sheet, sheet_plans, work_sheet, workings
from framecore.sheets.parts import piece_sheets, plates
from framecore.sheets.seat import level_record, seat_sheet
from framecore.sheets.welds import weld_map
from framecore.stand.model import Stand

SHEETS: tuple[Pages, ...] = (
    cover.pages,
    general.pages,
    assembly_sheets.pages,
    piece_sheets.pages,
    plates.pages,
    seat_sheet.pages,
    weld_map.pages,
    cut_sheet.pages,
    sheet_plans.pages,
    order_sheet.pages,
    work_sheet.pages,
    level_record.pages,
    workings.pages,
)


def compose(stand: Stand, paper: str | None = None) -> tuple[Sheet, ...]:
    """Draw the shop sheets of a stand.

    Parameters
    ----------
    stand : evaluated stand
    paper : "A3", "A4", "Letter" or "Tabloid"; None takes the brief's

    Returns
    -------
    tuple of Sheet
        in page order, ready for any pen

    Raises
    ------
    ValueError
        ``paper`` is none of the known sizes.
    """
    return compose_with(SHEETS, stand, paper)


__all__ = ["SHEETS", "compose", "overlaps", "write_dxf", "write_pdf", "write_svg"]

"""The packet: everything for the shop in one folder, all of it or nothing."""

from __future__ import annotations

import re
import shutil
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING

from app.words import tr

if TYPE_CHECKING:
    from framecore.sheets.drawing.model import Sheet
    from framecore.stand.model import Stand

NOTE = "The figures in this packet are no certificate. Where the machine's manual or local codes differ, they hold."


def write_packet(stand: Stand, folder: Path, *, force: bool) -> tuple[Path, ...]:
    """Write the packet and return its files.

    Everything is written beside the target first and moved there by one rename, so a folder is either
    whole or not there.

    Raises
    ------
    FileExistsError
        the folder is there and ``force`` is false, or what is there is not a packet.
    OSError
        the folder cannot be written.
    """
    folder = Path(folder)
    if folder.exists() and not force:
        raise FileExistsError(17, "is already there; --force replaces it", str(folder))
    if folder.exists() and not _is_packet(folder):
        raise FileExistsError(17, "holds something else than a packet and is left alone", str(folder))
    parent = folder.absolute().parent
    if not parent.is_dir():
        raise FileNotFoundError(2, "there is no such folder to put the packet in", str(parent))
    try:
        work = Path(tempfile.mkdtemp(prefix=f".{folder.name}-", dir=parent))
    except OSError as fault:
        raise OSError(fault.errno, f"the packet was not written: {fault.strerror or fault}", str(folder)) from fault
    try:
        _fill(stand, work)
        work.chmod(0o755)
        if folder.exists():
            old = Path(tempfile.mkdtemp(prefix=f".{folder.name}-old-", dir=parent)) / "packet"
            folder.rename(old)
            try:
                work.rename(folder)
            except OSError:
                old.rename(folder)
                raise
            finally:
                shutil.rmtree(old.parent, ignore_errors=True)
        else:
            work.rename(folder)
    except BaseException as fault:
        shutil.rmtree(work, ignore_errors=True)
        if isinstance(fault, OSError) and not isinstance(fault, FileExistsError):
            # A disk that is full names no file, and a name within the folder that is gone again helps nobody.
            raise OSError(fault.errno, f"the packet was not written: {fault.strerror or fault}", str(folder)) from fault
        raise
    return tuple(sorted(p for p in folder.iterdir()))


def _is_packet(folder: Path) -> bool:
    """Only an empty folder or an earlier packet may be replaced: a slip must not cost other files."""
    return folder.is_dir() and ((folder / "cut-list.csv").exists() or not any(folder.iterdir()))


def _fill(stand: Stand, folder: Path) -> None:
    from app.cli.lists_csv import write_cut_list, write_order
    from app.cli.lists_xlsx import write_lists
    from framecore.sheets import compose, write_dxf, write_pdf, write_svg
    from framecore.solids.files import write_solids

    sheets = compose(stand)
    write_pdf(sheets, folder / "sheets.pdf")
    write_dxf(_views(stand, sheets), folder / "frame.dxf")
    for number, sheet in enumerate(sheets, 1):
        slug = re.sub(r"[^a-z0-9]+", "-", sheet.title.lower()).strip("-") or "sheet"
        write_svg(sheet, folder / f"sheet-{number}-{slug}.svg")
    _template(stand, folder)
    _parts(stand, folder / "parts")
    write_cut_list(stand, folder / "cut-list.csv")
    write_order(stand, folder / "order.csv")
    write_lists(stand, folder / "lists.xlsx")
    write_solids(stand.frame, folder, stand.brief.title)
    (folder / "read-me.txt").write_text(f"{stand.brief.title}\n\n{tr(NOTE)}\n", encoding="utf-8")


def _views(stand: Stand, sheets: tuple[Sheet, ...]) -> Sheet:
    """The sheet with front, side and top on it; small paper has none, so it is drawn on a larger one for the file."""
    from framecore.sheets.assemblies import general
    from framecore.sheets.compose import compose_with

    for sheet in sheets:
        if sheet.title == "General arrangement" and {"front", "top"} <= {v.name for v in sheet.views}:
            return sheet
    paper = "A3" if stand.brief.units == "metric" else "Tabloid"
    return compose_with((general.pages,), stand, paper)[0]


def _template(stand: Stand, folder: Path) -> None:
    """The holes at full size, on paper and as a file; nothing where no machine is bolted down."""
    from framecore.sheets import write_pdf
    from framecore.sheets.seat.template import template_pages, template_paper
    from framecore.sheets.seat.template_dxf import write_template_dxf

    pages = template_pages(stand, template_paper(stand))
    if pages:
        write_pdf(pages, folder / "template.pdf")
        write_template_dxf(stand, folder / "template.dxf")


def _parts(stand: Stand, folder: Path) -> None:
    """A DXF for each flat part, at full size; no folder where there is none."""
    from framecore.sheets.parts.part_dxf import flat_parts, write_part_dxf

    parts = flat_parts(stand)
    if parts:
        folder.mkdir()
    for part in parts:
        write_part_dxf(part, folder / f"{part.mark}.dxf")

"""The lists of the packet as one workbook: pieces, cut plan, order, bought parts, welds, steps."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from io import BytesIO
from typing import TYPE_CHECKING, Any

from app.words import tr
from framecore.units import POUND
from framecore.words import ENGLISH, Said, current

if TYPE_CHECKING:
    from pathlib import Path

    from framecore.stand.model import Stand

# The file is the same bytes whenever it is written: it carries no clock.
MADE = datetime(2000, 1, 1)
INCH = 25.4
WIDEST, NARROWEST = 60, 6  # characters
Cell = str | float | int
STAGES = {
    "saw": "to saw", "fit": "to fit", "weld": "to weld", "drill": "to drill", "finish": "to finish", "set up": "to set up",
    "level": "to level",
}  # fmt: skip
FORMATS = {"length": "0.0", "inch": "0.000", "mass": "0.00", "money": "#,##0.00", "count": "0", "text": "@", "share": "0%"}


@dataclass(frozen=True)
class Table:
    """One sheet of the book: its columns as (head, kind) and the rows; ``kind`` a key of ``FORMATS``."""

    name: str
    columns: tuple[tuple[str, str], ...]
    rows: tuple[tuple[Cell, ...], ...]


def write_lists(stand: Stand, path: Path) -> None:
    """Write the workbook.

    Raises
    ------
    OSError
        the file cannot be written.
    """
    import xlsxwriter

    # Put together in memory: on a full disk the library would leave a file that it cannot close.
    whole = BytesIO()
    book = xlsxwriter.Workbook(whole, {"strings_to_formulas": False, "strings_to_urls": False, "in_memory": True})
    book.set_properties({"title": stand.brief.title, "created": MADE})
    head = book.add_format({"bold": True, "bottom": 1, "text_wrap": True, "valign": "top"})
    forms = {
        kind: book.add_format({"num_format": form, "valign": "top", "text_wrap": kind == "text"})
        for kind, form in FORMATS.items()
    }
    for table in tables(stand):
        sheet = book.add_worksheet(tr(table.name))
        for k, (title, kind) in enumerate(table.columns):
            cells = [tr(r[k]) if isinstance(r[k], str) else r[k] for r in table.rows]
            sheet.write_string(0, k, tr(title), head)
            sheet.set_column(k, k, _wide([tr(title), *map(_shown, cells)]))
            for n, value in enumerate(cells, 1):
                if isinstance(value, str):
                    sheet.write_string(n, k, value, forms["text"])
                else:
                    sheet.write_number(n, k, value, forms[kind])
        sheet.freeze_panes(1, 0)
        sheet.repeat_rows(0)
        sheet.set_landscape()
        sheet.set_paper(1 if stand.brief.sheet.paper in ("Letter", "Tabloid") else 9)
        sheet.fit_to_pages(1, 0)
        # A title may hold any sign; "&" begins a field in a footer, and before a G the library looks for a picture.
        title = stand.brief.title[:100].replace("&", "&&").replace("&G", "& G")
        sheet.set_footer(f"&L{title.replace('&[', '& [')}&C&A&R&P/&N")
    book.close()
    path.write_bytes(whole.getvalue())


def tables(stand: Stand) -> Iterator[Table]:
    """Yield the sheets of the book, lengths and masses in the brief's units."""
    inch = stand.brief.units != "metric"
    length = "inch" if inch else "length"
    mm, kg = ("in", "lb") if inch else ("mm", "kg")

    def size(value: float) -> float:
        return round(value / INCH, 4) if inch else round(value, 2)

    def mass(value: float) -> float:
        return round(value / POUND, 3) if inch else round(value, 3)

    shop, money = stand.shop, stand.shop.currency
    yield Table(
        "Pieces",
        (("Mark", "text"), ("Count", "count"), ("Profile or plate", "text"), (f"Length {mm}", length), (f"Saw to {mm}", length),
         (f"Short {mm}", length), (f"Width {mm}", length), (f"Thick {mm}", length), ("End 1", "text"),
         ("End 2", "text"), ("Holes", "count"), (f"Mass each {kg}", "mass"), ("Where", "text"), ("Note", "text")),
        (
            *(
                (p.mark, len(p.members), p.profile.id, size(p.length), size(p.sawn), size(p.short_length), "", "", *p.ends,
                 p.holes, mass(p.mass), _names(p.members), p.note)
                for p in shop.pieces
            ),
            *(
                (q.mark, len(q.names), q.label, size(q.length), "", "", size(q.width), size(q.thickness), "", "", q.holes,
                 mass(q.mass), _names(q.names), q.note)
                for q in shop.plates
            ),
        ),
    )  # fmt: skip
    yield Table(
        "Cut plan",
        (("Profile", "text"), ("Bar", "count"), ("From", "text"), (f"Bar length {mm}", length), ("Cut", "count"),
         ("Mark", "text"), (f"Stop at {mm}", length), (f"From the left {mm}", length), (f"Left over {mm}", length)),
        tuple(
            (name, n, "rack" if bar.bar.rack else "new", size(bar.bar.length), k, cut.mark, size(cut.length), size(cut.start),
             size(bar.offcut) if k == len(bar.cuts) else "")
            for name, plan in shop.plans
            for n, bar in enumerate(plan.bars, 1)
            for k, cut in enumerate(bar.cuts, 1)
        ),
    )  # fmt: skip
    yield Table(
        "Order",
        (("What", "text"), ("Detail", "text"), ("Count", "count"), (f"Length {mm}", length), (f"Mass {kg}", "mass"),
         (f"Cost {money}", "money"), ("Price", "text"), ("Their price", "money")),
        tuple(
            (o.what, o.detail, o.count, size(o.length) if o.length else "", mass(o.mass), round(o.cost, 2),
             "assumed" if o.price_assumed else "given", "")
            for o in shop.order
        ),
    )  # fmt: skip
    yield Table(
        "Bought",
        (("Mark", "text"), ("Count", "count"), ("What", "text"), ("Size", "text"), ("Where", "text"), ("Note", "text"),
         ("Price", "money")),
        tuple((b.mark, b.count, b.what, b.size, b.where, b.note, "") for b in shop.bought),
    )  # fmt: skip
    yield from _work(stand, size, mm, length)


def _work(stand: Stand, size: Any, mm: str, length: str) -> Iterator[Table]:
    work = stand.work()
    yield Table(
        "Welds",
        (("Mark", "text"), ("Assembly", "text"), ("In order", "count"), ("Joint", "text"), ("Onto", "text"), ("What", "text"),
         ("Kind", "text"), (f"Fillet leg {mm}", length), (f"Throat {mm}", length), (f"Length {mm}", length), ("Flush", "text")),
        tuple(
            (w.mark, w.assembly, w.order, w.joint, *w.parts, w.kind, size(w.leg) if w.leg else "", size(w.throat),
             size(w.length), w.why or "yes" if w.flush else "")
            for w in work.welds
        ),
    )  # fmt: skip
    yield Table(
        "Steps",
        (("No.", "count"), ("Stage", "text"), ("Title", "text"), ("What to do", "text"), ("Measure", "text"),
         ("Within", "text"), ("Caution", "text"), ("Done", "text")),
        tuple((s.number, _stage(s.stage), s.title, s.text, s.measure, s.tolerance, s.caution, "") for s in work.steps),
    )  # fmt: skip


def _names(names: Sequence[str]) -> str:
    return Said(", ".join(map(tr, names)))


def _stage(stage: str) -> str:
    """Return what is done in a stage; in another language by the verb alone."""
    return stage if current() == ENGLISH else tr(STAGES.get(stage, stage))


def _shown(value: Cell) -> str:
    return value if isinstance(value, str) else f"{value:.2f}"


def _wide(texts: Sequence[str]) -> int:
    """Column width in characters; longer texts wrap."""
    return max(NARROWEST, min(WIDEST, max(len(t) for t in texts) + 2))

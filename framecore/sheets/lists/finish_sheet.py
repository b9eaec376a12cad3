"""Paint: what is coated, how much of each coat is bought, what is kept bare."""

from __future__ import annotations

from framecore.sheets.drawing.columns import TICK
from framecore.sheets.drawing.flow import Flow
from framecore.shop.finish import film_words
from framecore.stand.model import Stand
from framecore.stand.work import work_of
from framecore.units import format_quantity, raised


def fill(stand: Stand, flow: Flow, size: float) -> None:
    """Put what is painted, masked and coated."""
    plan, units = work_of(stand).finish, stand.brief.units
    if stand.brief.finish.paint == "none" or not plan.coats:
        return
    flow.heading("Finish", keep=30.0)
    area = raised(" ".join(format_quantity(plan.area, "m2", units)))
    flow.line(f"{area} are painted; faces that lie on each other and bare places are taken off.", size)
    rows = [
        (TICK, c.name, " ".join(format_quantity(c.litres, "l", units)), film_words(units, c.film_um), c.text)
        for c in plan.coats
    ]
    flow.gap(1.0)
    flow.table(("Done", "Coat", "Buy", "Dry film", "How it is reckoned"), rows, "llrrl", size)
    if plan.masked:
        flow.gap(3.0)
        flow.line("Keep bare, mask before the first coat:", size, bold=True, keep=3 * size)
        for name, _ in plan.masked:
            flow.note(name, size)
    flow.gap(2.0)
    for text in plan.notes:
        flow.note(text, size)

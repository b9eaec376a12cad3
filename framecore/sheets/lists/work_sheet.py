"""The work plan: build steps, then paint, lifting and carrying, and the notes, one after the other on as few pages."""

from __future__ import annotations

from framecore.sheets.drawing.columns import columns, drafts, fitted, text_size
from framecore.sheets.drawing.flow import Flow
from framecore.sheets.lists import carrying, finish_sheet, steps_sheet
from framecore.sheets.paper import SMALL, Draft
from framecore.sheets.words import notes
from framecore.stand.model import Stand


def pages(stand: Stand, paper: str) -> tuple[Draft, ...]:
    """Compose the work plan; as many pages as it needs."""
    size = text_size(paper)

    def lay(close: float) -> Flow:
        flow = Flow(columns(paper, 1 if paper in SMALL else 2), close=close)
        steps_sheet.fill(stand, flow, size)
        finish_sheet.fill(stand, flow, size)
        carrying.fill(stand, flow, size)
        flow.heading("Notes and cautions", keep=4 * size)
        for text in notes(stand):
            flow.note(text, size)
        return flow

    return drafts(fitted(lay), "build steps, finish, carrying", "Work plan")

"""What the window asks of the stand: its screws, answers, the record beside the brief, the sheet to fill in."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from app.document.disk import one_stroke
from app.words import tr
from framecore.errors import BriefError
from framecore.seat.answer import Answer, Question, answer
from framecore.seat.influence import FOOT, SHIM, influence
from framecore.seat.learning import Round, without
from framecore.seat.level import SHIM_STEP, Wanted, as_round
from framecore.seat.record_file import read_rounds, record_path, write_rounds

if TYPE_CHECKING:
    from app.document import Document
    from framecore.stand.model import Stand

SHEET_SUFFIX = ".pdf"  # the drawing; any other end asks for plain text


class Machine:
    """One stand with its machine, as it was when levelling began."""

    def __init__(self, stand: Stand, document: Document) -> None:
        self.stand, self._document = stand, document
        brief = stand.brief
        bedless = stand.strength.bed is None
        self.screws = influence(brief, stand.frame, stand.strength, FOOT if bedless else "")
        kind = self.screws.kind
        self.feet = self.screws if kind == FOOT else influence(brief, stand.frame, stand.strength, FOOT)
        self._each = 2 if brief.mounting.seating == "jacking screws" else 1
        self.kept: tuple[str, ...] | None = None  # readings of the present round where it was kept already

    @property
    def inch(self) -> bool:
        """Whether the brief is in inches."""
        return self.stand.brief.units.startswith("inch")

    @property
    def length(self) -> float:
        """Of the bed between its end mounts, mm; of the stand where there is no bed."""
        return self.screws.length or self.stand.brief.frame.length

    def wanted(self, tolerance: float | None = None, preload: float | None = None) -> Wanted:
        """Return what counts as good enough."""
        return Wanted(
            tolerance=tolerance or self.stand.brief.limits.bed_twist, preload=preload or 0.0, inch=self.inch,
            step=SHIM_STEP if self.screws.kind == SHIM else 0.0,
        )  # fmt: skip

    def ask(self, question: Question) -> Answer:
        """Return the answer with what the kept rounds teach; raises UnitError, BriefError or LayoutError."""
        rounds = self.rounds()
        if rounds and self.kept is not None and self.kept == rounds[-1].readings == _readings(question):
            rounds = rounds[:-1]  # the present round itself, kept before it was turned
        return answer(question, self.screws, self.feet, self.stand.brief.machine.work_line, rounds, self._each)

    # -- the record --------------------------------------------------------------------------------------

    @property
    def record(self) -> Path | None:
        """Where rounds are kept, None while the brief has no file."""
        return None if self._document.path is None else record_path(self._document.path)

    def rounds(self) -> tuple[Round, ...]:
        """Return the rounds kept; raises BriefError where the record is spoilt."""
        return () if self.record is None else read_rounds(self.record)

    def keep(self, told: Answer) -> None:
        """Add the round to the record; raises BriefError or OSError."""
        assert self.record is not None
        when = datetime.now().astimezone().strftime("%Y-%m-%d %H:%M")
        made = as_round(self.screws, told.advice, told.question.stations, when)
        write_rounds(self.record, (*self.rounds(), made), self.stand.brief.title)
        self.kept = made.readings

    def take_out(self, index: int, *, turned: bool) -> None:
        """Take a round out of the record; raises BriefError or OSError."""
        assert self.record is not None
        write_rounds(self.record, without(self.rounds(), index, turned=turned), self.stand.brief.title)
        self.kept = None

    # -- the sheet ---------------------------------------------------------------------------------------

    def write_sheet(self, path: Path) -> None:
        """Write the sheet to fill in, as a drawing where the name ends so, else as text; raises OSError."""
        if path.suffix.lower() == SHEET_SUFFIX:
            from framecore.sheets.compose import compose_with
            from framecore.sheets.drawing.pdf import write_pdf
            from framecore.sheets.seat import level_record

            with one_stroke(path) as part:
                write_pdf(compose_with((level_record.pages,), self.stand), part)
            return
        from framecore.seat.record_sheet import record_sheet

        rows = record_sheet(self.stand.brief, self.screws.names)
        with one_stroke(path) as part:
            part.write_text("\n".join("  ".join(map(tr, row)) for row in rows) + "\n", encoding="utf-8")


def _readings(question: Question) -> tuple[str, ...]:
    return tuple(f"{s.name}: {s.typed}" for s in question.stations)


def sentence_of(fault: Exception) -> str:
    """Return the sentence of a fault, that of its findings where it has some."""
    if isinstance(fault, BriefError):
        return " ".join(f.message for f in fault.findings) or str(fault)
    if isinstance(fault, OSError):
        return f"The record could not be written: {fault.strerror or fault}."
    return str(fault)

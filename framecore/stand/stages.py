"""The stages in order: brief -> height -> frame -> solids -> strength -> shop -> figures."""

from __future__ import annotations

from typing import TYPE_CHECKING

from framecore.brief.model import Brief
from framecore.catalogue import steel as find_steel
from framecore.errors import Finding, LayoutError, Severity
from framecore.figures import Answers, Figure, FigureBook, Once, collect
from framecore.frame import build_frame
from framecore.height import working_height
from framecore.seat import seat_findings
from framecore.seat.turned import seat_parts
from framecore.shop import build_shop
from framecore.solids import SolidsBuilder
from framecore.stand.model import Stand
from framecore.strength import Analyst

if TYPE_CHECKING:
    from framecore.shop.work import Work


class Evaluator:
    """Evaluates briefs one after another and keeps what the next one can use: index work, numbering, modes."""

    def __init__(self) -> None:
        self._solids = SolidsBuilder()
        self._analyst = Analyst()

    def forget(self) -> None:
        """Drop warm starts: the next stand is answered the same to the last digit, whatever came before it."""
        self._analyst.forget()

    def evaluate(self, brief: Brief) -> Stand:
        """Return the whole stand.

        Raises
        ------
        LayoutError
            The frame cannot be built; every reason with its cure.
        SolverError, CuttingError
            The frame is a mechanism; a piece is longer than any bar.
        """
        height = working_height(brief)
        frame = build_frame(brief, height.height)
        stops = tuple(f for f in frame.findings if f.severity is Severity.STOP)
        if stops:
            raise LayoutError(stops)
        solids = self._solids.build(frame, find_steel(brief.steel.grade).density)
        strength = self._analyst.analyse(brief, frame, solids)
        shop = build_shop(brief, frame, solids, seat_parts(brief, frame, strength))
        answers = Answers(brief=brief, height=height, frame=frame, solids=solids, strength=strength, shop=shop)
        live = collect(answers)
        work = Once(lambda: _work(answers, live))
        return Stand(
            brief=brief, height=height, frame=frame, solids=solids, strength=strength, shop=shop,
            figures=FigureBook(live, lambda: _late(answers, work())), work=work,
            findings=(
                *frame.findings, *strength.checks.findings, *seat_findings(brief, frame, strength), *_push_findings(answers),
            ),
        )  # fmt: skip


def _late(answers: Answers, work: Work) -> dict[str, Figure]:
    from framecore.figures.late import collect_late  # loaded with the first stand that is looked at long enough

    return collect_late(answers, work)


def _work(answers: Answers, live: dict[str, Figure]) -> Work:
    from framecore.stand.work import make_work  # geometry of contacts loads slowly and is seldom asked for

    return make_work(answers, live)


def evaluate(brief: Brief) -> Stand:
    """Evaluate one brief; see ``Evaluator.evaluate``."""
    return Evaluator().evaluate(brief)


def _push_findings(answers: Answers) -> tuple[Finding, ...]:
    """Feet that lift are worth a look, a stand that falls over is a stop."""
    s = answers.strength
    out = []
    for k, case in enumerate(s.cases):
        feet = [name for name, up in zip(s.foot_names, s.foot_open[:, k], strict=True) if up]
        if s.tips[k]:
            out.append(
                Finding(
                    code="standing.tips", severity=Severity.LOOK, field="limits.push",
                    message=(
                        f"In the case {case.label.lower()} ({case.text}) the stand falls over; widen the base, bolt it "
                        f"down, or lower the work line."
                    ),
                )
            )  # fmt: skip
        elif feet and case.id not in ("low spot",):
            out.append(
                Finding(
                    code="standing.lifts", severity=Severity.LOOK, field="limits.push", member=feet[0],
                    message=(
                        f"In the case {case.label.lower()} ({case.text}) no load is left on {' and '.join(feet)}; "
                        f"widen the base, bolt the stand down, or lower the work line."
                    ),
                )
            )  # fmt: skip
    return tuple(out)

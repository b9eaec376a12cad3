"""One short timer between the brief and everything that is shown."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QTimer, Signal

from framecore.errors import BriefError, Finding, FramecoreError, LayoutError
from framecore.words import keep_names

if TYPE_CHECKING:
    from app.document import Document
    from framecore.brief import BriefSource
    from framecore.stand.model import Stand

FRAME_MS = 16
STALE = "The brief gives no stand as it is. Shown is the last one that worked."
FAULT = Finding(
    code="stand.fault",
    message="The program met a fault of its own with this brief; undo the last change, or give another value.",
)


class Live(QObject):
    """Works the stand out once per picture at most, however fast the brief changes.

    While the brief gives no stand, ``stand`` stays the last one that was good and ``stale`` is true.

    Signals
    -------
    ready(stand, moving) : a new stand
    told(findings, stale) : what there is to say about brief and stand
    """

    ready = Signal(object, bool)
    told = Signal(object, bool)

    def __init__(self, document: Document, parent: QObject | None = None) -> None:
        super().__init__(parent)
        from framecore.stand import Evaluator

        self._document = document
        self._evaluator = Evaluator()
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(FRAME_MS)
        self._timer.timeout.connect(self.flush)
        self.moving = False
        self.stand: Stand | None = None
        self.stale = False
        self.findings: tuple[Finding, ...] = ()
        document.changed.connect(self._request)

    def _request(self, _source: BriefSource) -> None:
        if not self._timer.isActive():
            self._timer.start()

    @property
    def waiting(self) -> bool:
        """Whether a change is on its way."""
        return self._timer.isActive()

    def settle(self) -> None:
        """End of a gesture: work out once more, at rest."""
        self.moving = False
        self.flush()

    def flush(self) -> None:
        """Work out now."""
        self._timer.stop()
        reading = self._document.reading
        findings = tuple(reading.findings)
        stand: Stand | None = None
        if reading.brief is not None:
            try:
                stand = self._evaluator.evaluate(reading.brief)
            except (BriefError, LayoutError) as error:
                findings += tuple(error.findings)
            except FramecoreError as error:
                said = str(error).rstrip(".")
                findings += (Finding(code="stand.none", message=f"{said[:1].upper()}{said[1:]}."),)
            except Exception:
                # Told where all faults are told; what is shown must not look as if it were of this brief.
                self._tell((*findings, FAULT), stale=True)
                raise
        stale = stand is None
        if stand is not None:
            self.stand = stand
            self._keep_names(stand)
            known = {(f.code, f.message) for f in findings}
            findings += tuple(f for f in stand.findings if (f.code, f.message) not in known)
            self.ready.emit(stand, self.moving)
        self._tell(findings, stale=stale)

    def _keep_names(self, stand: Stand) -> None:
        from framecore.brief.written import written

        keep_names(*written(stand.brief))

    def _tell(self, findings: tuple[Finding, ...], *, stale: bool) -> None:
        self.findings, self.stale = findings, stale
        self.told.emit(findings, stale)

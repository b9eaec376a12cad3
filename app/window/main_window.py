"""The main window: puts the parts together; every part reads the same stand."""

from __future__ import annotations

from functools import cached_property
from itertools import chain
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtGui import QAction, QCloseEvent
from PySide6.QtWidgets import QApplication, QLabel, QMainWindow, QMenu

from app.dialogs.modal import ask
from app.document import Document, Settings
from app.inputs import InputsPanel
from app.live import STALE, Live
from app.live.afterwards import Afterwards
from app.panels.cut_list import CutList
from app.panels.cut_plan import CutPlanView
from app.panels.figures import FiguresPanel
from app.panels.findings import FindingsStrip
from app.panels.working import WorkingPanel
from app.theme import set_dark, style_sheet
from app.view3d import HeightSlider, StandView
from app.window import actions
from app.window.better import MOTION, Better
from app.window.describing import Describing
from app.window.keeping import Keeping
from app.window.later import load_rest
from app.window.layout import Layout
from app.window.links import Choice
from app.window.packet_job import PacketJob
from app.window.questions import Questions
from app.window.starting import take
from app.window.style import window_style
from app.window.telling import PacketThere
from app.words import tr
from framecore.errors import Finding

if TYPE_CHECKING:
    from app.sheetview.dialog import SheetDialog
    from app.view3d.editing import HandsOnView
    from framecore.figures.model import Figure
    from framecore.stand.model import Stand


class MainWindow(QMainWindow):
    """The window of one brief."""

    dark_action: QAction
    reference_action: QAction
    parallel_action: QAction
    holes_action: QAction
    sizes_action: QAction
    recent_menu: QMenu

    def __init__(
        self, document: Document, settings: Settings | None = None, questions: Questions | None = None
    ) -> None:
        super().__init__()
        self.document = document
        self.settings = settings or Settings()
        self.questions = questions or Questions()
        document.setParent(self)
        self.live = Live(document, self)
        self.choice = Choice(self)
        self.view = StandView()
        self.slider = HeightSlider()
        self.inputs = InputsPanel(document)
        self.figures = FiguresPanel()
        self.working = WorkingPanel()
        self.plan = CutPlanView()
        self.cut_list = CutList()
        self.findings = FindingsStrip()
        self.banner = QLabel(tr(STALE))
        self.banner.setObjectName("banner")
        self.banner.setContentsMargins(14, 6, 14, 6)
        self.banner.hide()
        self.keeping = Keeping(self, self.questions.keeping)
        self._rescued: Path | None = None
        self.packet = PacketJob(self)
        self._sheets: SheetDialog | None = None
        self.places = Layout(self)
        self.better = Better(self)
        actions.build(self)
        self._connect()
        Describing(self)
        self._fill_recent()
        self.set_dark(self.settings.dark)
        self.dark_action.setChecked(self.settings.dark)
        self.live.flush()
        self._retitle()
        self.places.restore()
        Afterwards(self, chain(self.inputs.fill_rest(), load_rest()))

    def _connect(self) -> None:
        document, live = self.document, self.live
        live.ready.connect(self._show_stand)
        live.told.connect(self._show_findings)
        document.dirty_changed.connect(self._retitle)
        document.named.connect(self._named)
        self.slider.moved.connect(self._height_moved)
        self.slider.released.connect(self._height_released)
        self.view.part_clicked.connect(self.choice.choose_part)
        self.plan.chosen.connect(self.choice.choose_mark)
        self.cut_list.chosen.connect(self.choice.choose_marks)
        self.choice.changed.connect(self._light)
        self.figures.chosen.connect(self._show_working)
        self.figures.completed.connect(self._show_working_again)
        self.findings.asked.connect(self._go_to)
        self.working.asked.connect(self.inputs.go_to)
        self.packet_there = PacketThere(self, self.questions.show_folder)
        self.packet.done.connect(self.packet_there.tell)
        self.packet.failed.connect(self._packet_failed)
        self.packet.fault.connect(self._packet_fault)

    # -- what is shown ---------------------------------------------------------------------------------

    def _show_stand(self, stand: Stand, moving: bool) -> None:
        self.view.set_stand(stand, moving=moving)
        self.slider.set_stand(stand)
        self.figures.stale = False
        self.plan.stale = False
        self.figures.show_stand(stand)
        self.plan.show_stand(stand)
        self.cut_list.show_stand(stand)
        self.choice.show_stand(stand)
        self._show_working_again(stand, moving)
        self.better.show_stand(stand, moving)
        if self._sheets is not None and self._sheets.isVisible() and not moving:
            self._sheets.show_stand(stand)

    def _show_working_again(self, stand: Stand, moving: bool = False) -> None:
        """Show the open working of a new stand, if its figure is known already."""
        figure = stand.figures.at_hand.get(self.working.chosen)
        if figure is not None:
            (self.working.follow if moving else self.working.show_figure)(figure, stand.brief.units)

    def _show_findings(self, findings: tuple[Finding, ...], stale: bool) -> None:
        self.inputs.show_findings(findings)
        self.findings.show_findings(findings)
        self.banner.setVisible(stale)
        self.figures.set_stale(stale)
        self.plan.set_stale(stale)
        self.cut_list.setEnabled(not stale)

    def _light(self, parts: frozenset[str], marks: frozenset[str]) -> None:
        self.view.set_highlight(parts)
        self.plan.light(marks)
        self.cut_list.light(marks)

    def _show_working(self, figure: Figure) -> None:
        if self.live.stand is not None:
            self.working.show_figure(figure, self.live.stand.brief.units)
            if figure.parts:
                self.choice.choose_parts(figure.parts)

    def _go_to(self, finding: Finding) -> None:
        if finding.member:
            self.choice.choose_part(finding.member)
        if finding.field:
            self.inputs.go_to(finding.field)

    # -- the slider ------------------------------------------------------------------------------------

    def _height_moved(self, height: float, gesture: int) -> None:
        self.live.moving = True
        self.document.edit("frame.height", round(height, 1), "height", gesture)

    def _height_released(self) -> None:
        self.live.settle()

    # -- files -----------------------------------------------------------------------------------------

    def _retitle(self, _dirty: bool = False) -> None:
        look = f" {tr('(to look at)')}" if self.document.only_look else ""
        self.setWindowTitle(f"{self.document.name}[*]{look} – Standwright")
        self.setWindowModified(self.document.dirty)

    def _named(self, path: Path | None) -> None:
        if path is not None:
            self.settings.add_recent(path)
            self._fill_recent()
        self._retitle()

    def _fill_recent(self) -> None:
        self.recent_menu.clear()
        for path in self.settings.recent:
            self.recent_menu.addAction(str(path), lambda p=path: self.open(p))
        self.recent_menu.setEnabled(bool(self.settings.recent))

    def may_leave(self) -> bool:
        """Ask about unsaved work; False means stay."""
        self.keeping.commit_typing()
        if not self.document.dirty:
            return True
        answer = self.questions.unsaved(self, self.document.name)
        if answer == "save":
            return self.save()
        return answer == "discard"

    def new(self) -> None:
        """Start from a machine's typical values and the few things only the maker knows."""
        if self.may_leave():
            take(self, self.questions.new(self))

    def open(self, path: Path | None = None) -> None:
        """Open a brief."""
        if not self.may_leave():
            return
        if path is None:
            chosen = self.questions.open_path(self)
            if not chosen:
                return
            path = Path(chosen)
        self.keeping.open(path)

    def save(self) -> bool:
        """Save; asks for a name when there is none. False when nothing was saved."""
        self.keeping.commit_typing()
        path = self.document.path
        return self.save_as() if path is None or self.document.only_look else self._save(path)

    def save_as(self) -> bool:
        """Save under another name."""
        self.keeping.commit_typing()
        chosen = self.questions.save_path(self, str(self.document.path or "stand.toml"))
        if not chosen:
            return False
        path = Path(chosen)
        return self._save(path if path.suffix else path.with_suffix(".toml"))

    def _save(self, path: Path) -> bool:
        return self.keeping.save(path)

    def offer_kept(self, *, quiet: bool = False) -> None:
        """Offer what windows left that did not close cleanly."""
        self.keeping.offer(quiet=quiet)

    def rescue(self) -> Path | None:
        """Write a recovery copy beside earlier ones; None when even that fails."""
        from framecore.brief import save_brief

        try:
            self.keeping.rescue.note()
            target = self._rescued or _free(self.settings.recovery)
            target.parent.mkdir(parents=True, exist_ok=True)
            save_brief(self.document.source, target)
        except Exception:
            return None
        self._rescued = target
        return target

    # -- commands --------------------------------------------------------------------------------------

    def find_setting(self) -> None:
        """Go to the filter above the settings."""
        self.inputs.search.setFocus()
        self.inputs.search.selectAll()

    def keep_reference(self, on: bool) -> None:
        """Keep the present stand to compare with, or forget it."""
        self.better.keep_reference(self.live.stand if on else None)

    def measure_pattern(self) -> None:
        """Give the hole pattern: from the manual, from measured distances or from a rubbing."""
        from app.dialogs.pattern import PatternDialog

        ask(PatternDialog(self.document, self))

    @cached_property
    def hands(self) -> HandsOnView:
        """The grips on the view; loaded when they are first shown."""
        from app.view3d.editing import HandsOnView

        hands = HandsOnView(self.view, self.document, self.live)
        hands.turned.connect(self._hands_turned)
        hands.pattern_asked.connect(self.measure_pattern)
        return hands

    def holes_on_view(self, on: bool) -> None:
        """Show the machine's holes as grips on the view, or put them away."""
        if on or self.hands.shown == "holes":
            self.hands.show("holes" if on else "")

    def sizes_on_view(self, on: bool) -> None:
        """Show the stand's sizes as grips on the view, or put them away."""
        if on or self.hands.shown == "sizes":
            self.hands.show("sizes" if on else "")

    def _hands_turned(self, name: str) -> None:
        self.holes_action.setChecked(name == "holes")
        self.sizes_action.setChecked(name == "sizes")

    def level_machine(self) -> None:
        """Guide the levelling of the machine on its stand."""
        from app.dialogs.levelling import LevelDialog

        if self.live.stand is not None:
            LevelDialog(self.live, self.document, self).show()

    def set_dark(self, on: bool) -> None:
        """Dark or light paper."""
        set_dark(on)
        self.settings.dark = on
        application = QApplication.instance()
        # Put in the place of another it would be worked into all that ever had one: four times as long, and the toolkit
        # falls over what has gone since.
        application.setStyleSheet("")
        application.setStyleSheet(style_sheet() + window_style())
        self.better.recolour()
        if self.live.stand is not None:
            self.view.set_stand(self.live.stand, moving=False)
        for widget in (self.view, self.slider, self.plan, self.figures):
            widget.update()

    def show_modes(self, on: bool) -> None:
        """Show or hide how the stand moves; the plotting library is loaded the first time."""
        self.better.show_below(MOTION, on)

    def show_sheets(self) -> None:
        """Show the sheets of the stand."""
        if self.live.stand is None:
            self.questions.tell(self, "Sheets", "There is no stand to draw yet; see the findings.")
            return
        if self._sheets is None:
            from app.sheetview.dialog import SheetDialog

            self._sheets = SheetDialog(self.document, self)
        self._sheets.show_stand(self.live.stand)
        self._sheets.show()
        self._sheets.raise_()

    def save_packet(self) -> None:
        """Write everything for the shop into a new folder, while the window stays alive."""
        if self.live.stand is None or self.live.stale:
            self.questions.tell(self, "Packet", "The brief gives no stand as it is; see the findings.")
            return
        if self.packet.running:
            self.questions.tell(self, "Packet", "A packet is being written already; wait until it is there.")
            return
        stem = self.document.path.stem if self.document.path else "stand"
        chosen = self.questions.folder(self, f"{stem}-packet")
        if chosen:
            self.packet_there.put_away()
            self.statusBar().showMessage(tr("Writing the packet …"))
            self.packet.start(self.live.stand, Path(chosen))

    def _packet_failed(self, sentence: str) -> None:
        self.statusBar().clearMessage()
        self.questions.tell(self, "Packet", sentence)

    def _packet_fault(self, fault: Exception) -> None:
        self.statusBar().clearMessage()
        raise fault  # shown where all faults are shown

    def closeEvent(self, event: QCloseEvent) -> None:
        """Guard unsaved work."""
        if not self.may_leave():
            event.ignore()
            return
        self.better.close()
        self.packet.wait()  # a packet is whole or not there
        self.keeping.close()
        self.places.save()
        event.accept()


def _free(path: Path) -> Path:
    """Return ``path``, or the next name of its kind that is not taken: an earlier copy may be the only one."""
    tries = (path if k == 1 else path.with_stem(f"{path.stem}-{k}") for k in range(1, 1000))
    return next((p for p in tries if not p.exists()), path)

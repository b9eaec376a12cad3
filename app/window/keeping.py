"""What the window does so that no work is lost: kept work, the file on disk, other windows."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject
from PySide6.QtWidgets import QLineEdit, QWidget

from app.dialogs.guard import ask_changed, ask_other_window, ask_overwrite_open
from app.dialogs.modal import ask
from app.dialogs.rescue_banner import FileBanner
from app.document.disk import ChangedOnDiskError, FileState, clock, same_file
from app.document.rescue import Rescue, leftovers
from app.document.watch import FileWatch
from framecore.errors import BriefError

if TYPE_CHECKING:
    from app.document.rescue import Leftover
    from app.window.main_window import MainWindow


def _ask_kept(parent: QWidget, found: list[Leftover]) -> tuple[Leftover | None, list[Leftover]]:
    from app.dialogs.rescue_offer import ask_kept

    return ask_kept(parent, found)


def _show_differences(parent: QWidget, old: str | None, new: str, called: tuple[str, str]) -> None:
    from app.dialogs.rescue_differences import DifferencesDialog

    ask(DifferencesDialog(old, new, called, parent))


@dataclass
class KeepingQuestions:
    """What is asked before work could be lost; tests answer without a dialog."""

    changed: Callable[[QWidget, str, str, Callable[[], None]], str] = ask_changed
    other_window: Callable[[QWidget | None, str], str] = ask_other_window
    overwrite_open: Callable[[QWidget, str], bool] = ask_overwrite_open
    kept: Callable[[QWidget, list[Leftover]], tuple[Leftover | None, list[Leftover]]] = _ask_kept
    differences: Callable[[QWidget, str | None, str, tuple[str, str]], None] = _show_differences


class Keeping(QObject):
    """Guards the work of one window; ``banner`` is the strip that tells about the file."""

    def __init__(self, window: MainWindow, questions: KeepingQuestions | None = None) -> None:
        super().__init__(window)
        self._window = window
        self._document = window.document
        self.questions = questions or KeepingQuestions()
        self.banner = FileBanner()
        self._about_file = False
        self.rescue = Rescue(window.document, window.settings.kept, self)
        self.watch = FileWatch(window.document, self)
        self.rescue.failed.connect(self._not_kept)
        self.rescue.say_again()
        self.watch.changed.connect(self._file_changed)
        self.watch.same.connect(self._file_same)
        window.document.dirty_changed.connect(lambda _dirty: self._about_file and self.watch.check())

    # -- what is being typed -----------------------------------------------------------------------------

    def commit_typing(self) -> None:
        """Take over what stands in a field but was not confirmed yet."""
        # A shortcut does not move the keyboard away from a field, so the field has not told of its text yet.
        for line in self._window.inputs.findChildren(QLineEdit):
            if line.isModified():
                line.editingFinished.emit()

    # -- opening -----------------------------------------------------------------------------------------

    def open(self, path: Path) -> None:
        """Open a file; asks first when another window works on it."""
        answer = self.questions.other_window(self._window, path.name) if self.rescue.others(path) else ""
        if answer == "cancel":
            return
        try:
            if answer == "copy":
                from framecore.brief import load_source

                self._document.recover(load_source(path), None, None)
            else:
                self._document.open(path, only_look=answer == "look")
        except BriefError as error:
            self._window.questions.tell(self._window, "Open", str(error))
        else:
            self._show_whole()

    def _show_whole(self) -> None:
        """Another stand may be larger than the one that the view was set for."""
        self._window.live.flush()
        self._window.view.fit()

    def offer(self, *, quiet: bool = True) -> None:
        """Offer what windows left that did not close cleanly; with ``quiet`` nothing is said when there is none."""
        try:
            found = leftovers(self.rescue.folder)
        except OSError:
            found = []
        if not found:
            if not quiet:
                self._window.questions.tell(self._window, "Kept work", "There is no kept work of an earlier time.")
            return
        chosen, thrown = self.questions.kept(self._window, found)
        for left in thrown:
            left.discard()
        for left in found:
            if left is chosen and self._window.may_leave():
                self._recover(left)
            elif left not in thrown:
                left.release()

    def _recover(self, left: Leftover) -> None:
        kept = left.kept
        self._document.recover(kept.source(), kept.path, kept.opened)
        if kept.path is not None and self.rescue.others(kept.path):
            self._document.only_look = True
            self._document.named.emit(kept.path)
        # There is never a moment without a copy on disk.
        if self.rescue.flush():
            left.discard()
        else:
            left.release()
        self.watch.check()
        self._show_whole()

    # -- saving ------------------------------------------------------------------------------------------

    def save(self, path: Path) -> bool:
        """Save to ``path``; False when nothing was saved, and then the maker knows why."""
        document, window = self._document, self._window
        ours = document.path is not None and same_file(path, document.path)
        if not ours and self.rescue.others(path) and not self.questions.overwrite_open(window, path.name):
            return False
        try:
            document.save(path)
        except ChangedOnDiskError as error:
            return self._settle(error)
        except BriefError as error:
            window.questions.tell(window, "Save", f"{error} Your work is kept; save it under another name or elsewhere.")
            return False
        self.watch.check()
        return True

    def _settle(self, error: ChangedOnDiskError) -> bool:
        answer = self.questions.changed(self._window, error.path.name, clock(error.state.when), self.show_differences)
        try:
            if answer == "mine":
                self._document.save(over=True)
            elif answer == "theirs":
                self._document.take_disk()
            elif answer == "new name":
                return self._window.save_as()
            else:
                return False
        except BriefError as fault:
            self._window.questions.tell(self._window, "Save", str(fault))
            return False
        self.watch.check()
        return True

    # -- the file on disk --------------------------------------------------------------------------------

    def show_differences(self) -> None:
        """Show the file on disk against what is open here."""
        document = self._document
        try:
            theirs = document.path.read_text("utf-8", errors="replace") if document.path else None
        except OSError:
            theirs = None
        self.questions.differences(
            self._window, theirs, document.source.text(), (f"the file {document.name}", "what is open here")
        )

    def read_again(self) -> None:
        """Take what is on disk; Undo brings back what was here."""
        try:
            self._document.take_disk()
        except BriefError as error:
            self._window.questions.tell(self._window, "Read it again", str(error))
        self.watch.check()

    def _file_changed(self, state: FileState | None) -> None:
        name = self._document.name
        self._about_file = True
        look = ("Look at the differences", self.show_differences)
        if state is None:
            text = f"{name} is not in its folder any more. What you see is in no file now."
            self.banner.tell(text, [("Save it as …", self._window.save_as)])
        elif self._document.dirty:
            at = clock(state.when)
            text = f"{name} was changed on disk at {at}, and you have unsaved changes; saving asks which to keep."
            self.banner.tell(text, [look])
        else:
            self.banner.tell(
                f"{name} was changed on disk at {clock(state.when)}.", [look, ("Read it again", self.read_again)]
            )

    def _file_same(self) -> None:
        if self._about_file:
            self._about_file = False
            self.banner.clear()

    def _not_kept(self, sentence: str) -> None:
        self._about_file = False
        self.banner.tell(sentence, [])

    def close(self) -> None:
        """The window closes, and the maker has saved or chosen to drop what was not."""
        self.watch.close()
        self.rescue.close()

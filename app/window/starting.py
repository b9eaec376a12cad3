"""How a new stand begins: the first questions, asked from the menu or at a start without a file."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtWidgets import QDialog

from app.dialogs.modal import ask
from app.words import tr

if TYPE_CHECKING:
    from app.window.main_window import MainWindow
    from framecore.brief import BriefSource


def ask_new(window: MainWindow) -> BriefSource | None:
    """Ask from the menu; None when the maker stays with what is open."""
    from app.dialogs.first_start import FirstStart

    dialog = FirstStart(window, away=tr("Stay here"))
    return dialog.source if ask(dialog) == QDialog.DialogCode.Accepted else None


def ask_first(window: MainWindow) -> BriefSource | None:
    """Ask at a start without a file; None leaves the sample open."""
    from app.dialogs.first_start import FirstStart

    dialog = FirstStart(window, away=tr("Look at the sample"), again=window.settings.ask_at_start)
    answer = ask(dialog)
    window.settings.ask_at_start = dialog.again.isChecked()
    return dialog.source if answer == QDialog.DialogCode.Accepted else None


def take(window: MainWindow, source: BriefSource | None) -> None:
    """Show the new brief; what was told in it is in no file yet."""
    if source is None:
        return
    window.document.replace(source, None)
    window.document.mark_unsaved()
    window.live.flush()
    window.view.fit()


def begin(window: MainWindow, *, without_file: bool) -> None:
    """Once the window is there: offer kept work, and where there is none and no file, ask the first questions."""
    before = window.document.source
    window.offer_kept(quiet=True)
    if without_file and window.settings.ask_at_start and window.document.source is before and not window.document.dirty:
        take(window, window.questions.first(window))

"""The menu's way to a picture of the view."""

from __future__ import annotations

from typing import TYPE_CHECKING

from app.dialogs.modal import ask
from app.words import tr

if TYPE_CHECKING:
    from app.window.main_window import MainWindow


def save_picture(window: MainWindow) -> None:
    """Ask what picture of the view is wanted, and save it."""
    from app.dialogs.picture import PictureDialog
    from app.view3d.scene import build_scene

    stand = window.live.stand
    if stand is None:
        window.questions.tell(window, tr("Picture"), tr("There is no stand to show yet; see the findings."))
        return
    stem = window.document.path.stem if window.document.path else tr("stand")
    folder = window.settings.folder
    name = str(folder / stem) if folder is not None else stem
    dialog = PictureDialog(build_scene(stand, window.choice.parts), window.view.camera, name, window)
    ask(dialog)
    if dialog.saved is not None:
        window.settings.folder = dialog.saved.parent
        window.statusBar().showMessage(tr("The picture is in {path}.", path=str(dialog.saved)), 8000)

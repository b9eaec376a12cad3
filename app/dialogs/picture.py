"""Saves the view as a picture: kind, size, paper, with the picture beside it."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QIODevice, QSaveFile, Qt, QTimer
from PySide6.QtGui import QPixmap
from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QDialog,
    QFileDialog,
    QFormLayout,
    QHBoxLayout,
    QLabel,
    QMessageBox,
    QPushButton,
    QSpinBox,
    QVBoxLayout,
    QWidget,
)

from app.view3d.picture import KINDS, LEAST, MOST, Picture, image, picture_bytes
from app.words import tr

if TYPE_CHECKING:
    from app.view3d.camera import Camera
    from app.view3d.scene import Scene

_PREVIEW = (360, 260)


def ask_path(parent: QWidget, name: str, kind: str) -> str:
    """Ask where to; whether a file may be replaced is asked afterwards, of the name as it will be."""
    return QFileDialog.getSaveFileName(
        parent, tr("Save the picture"), name, f"{kind.upper()} (*.{kind})", options=QFileDialog.Option.DontConfirmOverwrite
    )[0]


def ask_over(parent: QWidget, name: str) -> bool:
    """Ask before a file is replaced."""
    box = QMessageBox(parent)
    box.setWindowTitle(tr("Save the picture"))
    box.setText(tr("{name} is there already.", name=name))
    over = box.addButton(tr("Replace it"), QMessageBox.ButtonRole.DestructiveRole)
    stay = box.addButton(tr("Keep it"), QMessageBox.ButtonRole.RejectRole)
    box.setDefaultButton(stay)
    box.setEscapeButton(stay)
    box.exec()
    return box.clickedButton() is over


def write_whole(path: Path, content: bytes) -> None:
    """Write a file in one stroke: there is the old one or the whole new one, never half of it; raises OSError."""
    if "\0" in str(path):  # the toolkit would say that all went well
        raise OSError(22, "the name has a character that no file may have", str(path))
    file = QSaveFile(str(path))
    if file.open(QIODevice.OpenModeFlag.WriteOnly) and file.write(content) == len(content) and file.commit():
        return
    file.cancelWriting()
    raise OSError(0, file.errorString(), str(path))


class PictureDialog(QDialog):
    """Asks what picture, shows it, and saves it.

    Parameters
    ----------
    scene, camera : what the view shows now
    name : of the file without its ending, with the folder to begin in
    """

    def __init__(
        self,
        scene: Scene,
        camera: Camera,
        name: str,
        parent: QWidget | None = None,
        *,
        path: Callable[[QWidget, str, str], str] = ask_path,
        over: Callable[[QWidget, str], bool] = ask_over,
    ) -> None:
        super().__init__(parent)
        self.setWindowTitle(tr("Save the view as a picture"))
        self._scene, self._camera, self._name = scene, camera, name
        self._ask_path, self._ask_over = path, over
        self.saved: Path | None = None
        self.kind = QComboBox()
        self.kind.addItem(tr("PNG, points"), "png")
        self.kind.addItem(tr("SVG, lines to any size"), "svg")
        self.wide, self.high = QSpinBox(), QSpinBox()
        for box, size in ((self.wide, camera.width * 2), (self.high, camera.height * 2)):
            box.setRange(LEAST, MOST)
            box.setSingleStep(100)
            box.setSuffix(" px")
            box.setValue(size)
            box.setKeyboardTracking(False)
            box.valueChanged.connect(self._changed)
        self.clear = QCheckBox(tr("&Transparent ground"))
        self.clear.toggled.connect(self._changed)
        self.preview = QLabel()
        self.preview.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self.preview.setFixedSize(*_PREVIEW)
        self.preview.setAccessibleName(tr("The picture, small"))
        self.told = QLabel()
        self.told.setWordWrap(True)
        self.told.setObjectName("finding")
        self.save_button = QPushButton(tr("&Save …"))
        self.save_button.setDefault(True)
        self.save_button.clicked.connect(self.save)
        self._later = QTimer(self)
        self._later.setSingleShot(True)
        self._later.setInterval(0)
        self._later.timeout.connect(self._show)
        self._lay_out()
        self._changed()

    def _lay_out(self) -> None:
        form = QFormLayout()
        form.addRow(tr("&Kind"), self.kind)
        form.addRow(tr("&Width"), self.wide)
        form.addRow(tr("&Height"), self.high)
        form.addRow(self.clear)
        body = QHBoxLayout()
        body.setSpacing(16)
        body.addLayout(form)
        body.addWidget(self.preview)
        leave = QPushButton(tr("Leave"))
        leave.setAutoDefault(False)
        leave.clicked.connect(self.reject)
        foot = QHBoxLayout()
        foot.addWidget(self.told, 1)
        foot.addWidget(leave)
        foot.addWidget(self.save_button)
        page = QVBoxLayout(self)
        page.setContentsMargins(16, 14, 16, 14)
        page.setSpacing(12)
        page.addLayout(body)
        page.addLayout(foot)

    def wanted(self) -> Picture:
        """What is asked for."""
        return Picture(
            kind=self.kind.currentData(), width=self.wide.value(), height=self.high.value(), paper=not self.clear.isChecked()
        )

    def _changed(self) -> None:
        self._later.start()

    def _show(self) -> None:
        wanted = self.wanted()
        ratio = self.devicePixelRatioF()
        scale = min(_PREVIEW[0] / wanted.width, _PREVIEW[1] / wanted.height) * ratio
        wide, high = (max(1, round(side * scale)) for side in (wanted.width, wanted.height))
        small = Picture(kind="png", width=wide, height=high, paper=wanted.paper)
        picture = QPixmap.fromImage(image(self._scene, self._camera, self.font(), small))
        picture.setDevicePixelRatio(ratio)
        self.preview.setPixmap(picture)

    def save(self) -> None:
        """Ask where to and write the whole picture, or nothing."""
        wanted = self.wanted()
        chosen = self._ask_path(self, f"{self._name}.{wanted.kind}", wanted.kind)
        if not chosen:
            return
        path = Path(chosen)
        ending = path.suffix.lower().removeprefix(".")
        if ending != wanted.kind:
            path = path.with_name(f"{path.stem if ending in KINDS else path.name}.{wanted.kind}")
        if os.path.exists(path) and not self._ask_over(self, path.name):  # a name no file can have is told by the writing
            return
        try:
            write_whole(path, picture_bytes(self._scene, self._camera, self.font(), wanted))
        except OSError as error:
            self.told.setText(tr("{name} could not be written: {why}.", name=path.name, why=str(error.strerror).rstrip(".")))
            return
        self.saved = path
        self.accept()

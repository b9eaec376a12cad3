"""The view as a picture in a file: size, ground, what it shows; whole or not at all, and over nothing unasked."""

from __future__ import annotations

import numpy as np
import pytest
from PySide6.QtCore import QSize
from PySide6.QtGui import QColor, QImage, QPainter
from PySide6.QtSvg import QSvgRenderer

from app.cli.window import sample_source
from app.dialogs.picture import PictureDialog, write_whole
from app.theme import palette
from app.view3d.camera import Camera
from app.view3d.picture import Picture, framed, picture_bytes
from app.view3d.scene import build_scene
from framecore import evaluate


@pytest.fixture(scope="module")
def scene():
    return build_scene(evaluate(sample_source().resolve().brief), frozenset())


@pytest.fixture
def camera(scene):
    return Camera().sized(800, 600).fit(scene.points)


def pixels(image: QImage) -> np.ndarray:
    image = image.convertToFormat(QImage.Format.Format_RGBA8888)
    return np.frombuffer(image.constBits(), np.uint8).reshape(image.height(), image.width(), 4).astype(int)


def read(content: bytes) -> np.ndarray:
    image = QImage()
    assert image.loadFromData(content)
    return pixels(image)


def test_png_has_the_size_asked_for_and_paper_or_nothing_behind(qapp, scene, camera):
    for paper in (True, False):
        seen = read(picture_bytes(scene, camera, qapp.font(), Picture(kind="png", width=640, height=480, paper=paper)))
        assert seen.shape == (480, 640, 4)
        ground = QColor(palette().paper)
        wanted = [ground.red(), ground.green(), ground.blue(), 255] if paper else [0, 0, 0, 0]
        assert seen[2, 2].tolist() == wanted
        assert 0.08 < (abs(seen - seen[2, 2]).max(2) > 24).mean() < 0.8  # and a stand before it


def test_svg_shows_what_the_png_shows(qapp, scene, camera):
    svg = picture_bytes(scene, camera, qapp.font(), Picture(kind="svg", width=800, height=600))
    renderer = QSvgRenderer(svg)
    assert renderer.isValid() and renderer.viewBox().size() == QSize(800, 600)
    drawn = QImage(800, 600, QImage.Format.Format_ARGB32_Premultiplied)
    drawn.fill(0)
    with QPainter(drawn) as painter:
        renderer.render(painter)
    png = read(picture_bytes(scene, camera, qapp.font(), Picture(kind="png", width=800, height=600)))
    a, b = (p.reshape(150, 4, 200, 4, 4).mean((1, 3)) for p in (pixels(drawn), png))
    assert (abs(a - b).max(2) > 40).mean() < 0.02
    clear = picture_bytes(scene, camera, qapp.font(), Picture(kind="svg", width=800, height=600, paper=False))
    ground = palette().paper.encode()
    assert svg.count(b'fill="' + ground) > clear.count(b'fill="' + ground)


@pytest.mark.parametrize(("width", "height"), [(1600, 1200), (1600, 400), (400, 1600), (333, 777)])
def test_a_picture_of_any_shape_holds_all_that_the_view_shows(scene, camera, width, height):
    inside = camera.project(scene.points)[:, :2]
    assert (inside >= 0).all() and (inside <= [800, 600]).all()
    other, scale = framed(camera, width, height)
    spots = other.project(scene.points)[:, :2] * scale
    assert (spots >= -1).all() and (spots <= [width + 1, height + 1]).all()
    # The stand is as large as before, in the picture's own measure.
    grown = np.ptp(spots, axis=0) / np.ptp(inside, axis=0)
    assert grown == pytest.approx([scale, scale], rel=0.02)


# -- the dialog -----------------------------------------------------------------------------------------


@pytest.fixture
def dialog(qtbot, scene, camera, tmp_path):
    asked = {"path": "", "over": False, "names": []}
    made = PictureDialog(
        scene, camera, str(tmp_path / "stand"), path=lambda _p, name, _k: asked["names"].append(name) or asked["path"],
        over=lambda _p, name: asked["names"].append(name) or asked["over"],
    )  # fmt: skip
    qtbot.addWidget(made)
    made.asked = asked
    return made


def test_saves_what_is_asked_for(dialog, tmp_path):
    assert (dialog.wide.value(), dialog.high.value()) == (1600, 1200)
    dialog.wide.setValue(500)
    dialog.high.setValue(300)
    dialog.clear.setChecked(True)
    dialog.asked["path"] = str(tmp_path / "view.png")
    dialog.save()
    assert dialog.asked["names"] == [str(tmp_path / "stand.png")]
    seen = read((tmp_path / "view.png").read_bytes())
    assert seen.shape[:2] == (300, 500) and seen[1, 1, 3] == 0
    assert dialog.saved == tmp_path / "view.png"


def test_a_name_without_its_ending_gets_it_and_a_file_of_that_name_is_asked_about(dialog, tmp_path):
    dialog.kind.setCurrentIndex(dialog.kind.findData("svg"))
    (tmp_path / "view.svg").write_text("mine")
    dialog.asked["path"] = str(tmp_path / "view")
    dialog.save()
    assert dialog.asked["names"][-1] == "view.svg"
    assert (tmp_path / "view.svg").read_text() == "mine" and dialog.saved is None
    dialog.asked["over"] = True
    dialog.save()
    assert b"<svg" in (tmp_path / "view.svg").read_bytes() and dialog.saved == tmp_path / "view.svg"
    assert sorted(p.name for p in tmp_path.iterdir()) == ["view.svg"]


def test_the_ending_is_that_of_the_kind(dialog, tmp_path):
    dialog.kind.setCurrentIndex(dialog.kind.findData("svg"))
    dialog.asked["path"] = str(tmp_path / "view.png")
    dialog.save()
    assert [p.name for p in tmp_path.iterdir()] == ["view.svg"]


def test_what_cannot_be_written_is_told_and_leaves_nothing(dialog, tmp_path):
    dialog.asked["path"] = str(tmp_path / "no such folder" / "view.png")
    dialog.save()
    assert "view.png could not be written" in dialog.told.text() and dialog.saved is None
    assert list(tmp_path.iterdir()) == []


def test_a_file_is_replaced_whole_or_not_at_all(tmp_path, monkeypatch):
    path = tmp_path / "old.png"
    path.write_bytes(b"old")
    from PySide6.QtCore import QSaveFile

    monkeypatch.setattr(QSaveFile, "commit", lambda self: False)
    with pytest.raises(OSError, match=r"old\.png"):
        write_whole(path, b"new content")
    monkeypatch.undo()
    assert path.read_bytes() == b"old" and [p.name for p in tmp_path.iterdir()] == ["old.png"]
    write_whole(path, b"new content")
    assert path.read_bytes() == b"new content"


def test_the_menu_shows_the_view_and_remembers_the_folder(qtbot, window, tmp_path, monkeypatch):
    from app.window import picture

    def answer(dialog):
        dialog._ask_path = lambda _p, name, kind: str(tmp_path / f"menu.{kind}")
        dialog.save()
        return 1

    monkeypatch.setattr(picture, "ask", answer)
    picture.save_picture(window)
    assert (tmp_path / "menu.png").exists() and window.settings.folder == tmp_path
    assert "menu.png" in window.statusBar().currentMessage()

"""Which way of drawing this screen can take: graphics card, software OpenGL, or none."""

from __future__ import annotations

import os
from functools import cache

from PySide6 import QtGui

CHOICES = ("gl", "software", "painted")
SWITCH = "STANDWRIGHT_VIEW"
# Window platforms whose OpenGL widgets stay blank or are not there at all.
_NO_WIDGET = {"offscreen", "minimal", "vnc", "linuxfb", "vkkhrdisplay"}
_SOFT = ("llvmpipe", "softpipe", "swrast", "swiftshader", "gdi generic", "microsoft basic render", "software rasterizer")

_kept: list[tuple[QtGui.QOpenGLContext, QtGui.QOffscreenSurface]] = []


@cache
def way() -> str:
    """Return "gl", "software" or "painted"; the environment variable STANDWRIGHT_VIEW overrules the trial."""
    wanted = os.environ.get(SWITCH, "").strip().lower()
    if wanted == "painted":
        return wanted
    found = _try()
    if wanted in CHOICES and found != "painted":
        if wanted != "software":
            _kept.clear()
        return wanted
    return found


def _try() -> str:
    platform = QtGui.QGuiApplication.platformName()
    if platform in _NO_WIDGET:
        return "painted"
    context = QtGui.QOpenGLContext()
    context.setFormat(QtGui.QSurfaceFormat.defaultFormat())
    if not context.create():
        return "painted"
    surface = QtGui.QOffscreenSurface()
    surface.setFormat(context.format())
    surface.create()
    if not (surface.isValid() and context.makeCurrent(surface)):
        return "painted"
    try:
        functions = context.functions()
        renderer, version = functions.glGetString(0x1F01) or "", functions.glGetString(0x1F02) or ""
    finally:
        context.doneCurrent()
    try:
        number = tuple(int(x) for x in version.replace("OpenGL ES ", "").split()[0].split(".")[:2])
    except (ValueError, IndexError):
        return "painted"
    if number < (2, 1):
        return "painted"
    if not any(word in renderer.lower() for word in _SOFT):
        return "gl"
    _kept[:] = [(context, surface)]
    return "software"


def software_context() -> tuple[QtGui.QOpenGLContext, QtGui.QOffscreenSurface]:
    """Return a context with something to make it current on: the one of the trial to whom asks first, then new ones.

    Raises
    ------
    RuntimeError
        There is none to be had.
    """
    if _kept:
        return _kept.pop()
    context = QtGui.QOpenGLContext()
    context.setFormat(QtGui.QSurfaceFormat.defaultFormat())
    if not context.create():
        raise RuntimeError("no OpenGL context")
    surface = QtGui.QOffscreenSurface()
    surface.setFormat(context.format())
    surface.create()
    return context, surface

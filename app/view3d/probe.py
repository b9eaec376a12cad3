"""Which way of drawing this screen can take: graphics card, software OpenGL, or none."""

from __future__ import annotations

import ctypes
import os
from functools import cache

from PySide6 import QtGui

CHOICES = ("gl", "software", "painted")
SWITCH = "STANDWRIGHT_VIEW"
# Window platforms whose OpenGL widgets stay blank or are not there at all.
_NO_WIDGET = {"offscreen", "minimal", "vnc", "linuxfb", "vkkhrdisplay"}
_SOFT = ("llvmpipe", "softpipe", "swrast", "swiftshader", "gdi generic", "microsoft basic render", "software rasterizer")


@cache
def way() -> str:
    """Return "gl", "software" or "painted"; the environment variable STANDWRIGHT_VIEW overrules the trial."""
    wanted = os.environ.get(SWITCH, "").strip().lower()
    if wanted == "painted":
        return wanted
    found = _try()
    if wanted in CHOICES and found != "painted":
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
        _tell_binding()
    finally:
        context.doneCurrent()
    try:
        number = tuple(int(x) for x in version.replace("OpenGL ES ", "").split()[0].split(".")[:2])
    except (ValueError, IndexError):
        return "painted"
    if number < (2, 1):
        return "painted"
    return "software" if any(word in renderer.lower() for word in _SOFT) else "gl"


def _tell_binding() -> None:
    """Say which window-system binding the current context came from: the Python binding would only guess."""
    for library, call, name in (("libGLX.so.0", "glXGetCurrentContext", "glx"), ("libEGL.so.1", "eglGetCurrentContext", "egl")):
        try:
            function = getattr(ctypes.CDLL(library), call)
        except (OSError, AttributeError):
            continue
        function.restype = ctypes.c_void_p
        if function():
            os.environ["PYOPENGL_PLATFORM"] = name
            return

"""The few OpenGL calls that the renderer makes, fetched from the current context.

A whole binding takes longer to load than the rest of the view; these are all of OpenGL 2.1.
"""

from __future__ import annotations

import ctypes
from collections.abc import Callable
from typing import Any

from PySide6.QtGui import QOpenGLContext

COLOR_BUFFER_BIT, DEPTH_BUFFER_BIT = 0x4000, 0x0100
LINES, TRIANGLES = 0x0001, 0x0004
ZERO, SRC_ALPHA, ONE, ONE_MINUS_SRC_ALPHA = 0, 0x0302, 1, 0x0303
CW, CCW = 0x0900, 0x0901
LEQUAL, DEPTH_TEST, CULL_FACE, BLEND = 0x0203, 0x0B71, 0x0B44, 0x0BE2
ALIASED_LINE_WIDTH_RANGE, PACK_ALIGNMENT = 0x846E, 0x0D05
UNSIGNED_BYTE, FLOAT, BGRA = 0x1401, 0x1406, 0x80E1
ARRAY_BUFFER, STREAM_DRAW = 0x8892, 0x88E0
FRAGMENT_SHADER, VERTEX_SHADER = 0x8B30, 0x8B31
COMPILE_STATUS, LINK_STATUS = 0x8B81, 0x8B82

_INT, _UINT, _FLOAT, _BYTE, _TEXT, _AT = (
    ctypes.c_int, ctypes.c_uint, ctypes.c_float, ctypes.c_ubyte, ctypes.c_char_p, ctypes.c_void_p
)  # fmt: skip
_SIZE = ctypes.c_ssize_t
# What each call takes; those of _GIVES return something.
_TAKES: dict[str, tuple[Any, ...]] = {
    "AttachShader": (_UINT, _UINT),
    "BindAttribLocation": (_UINT, _UINT, _TEXT),
    "BindBuffer": (_UINT, _UINT),
    "BlendFuncSeparate": (_UINT, _UINT, _UINT, _UINT),
    "BufferData": (_UINT, _SIZE, _AT, _UINT),
    "Clear": (_UINT,),
    "ClearColor": (_FLOAT, _FLOAT, _FLOAT, _FLOAT),
    "ColorMask": (_BYTE, _BYTE, _BYTE, _BYTE),
    "CompileShader": (_UINT,),
    "CreateProgram": (),
    "CreateShader": (_UINT,),
    "DepthFunc": (_UINT,),
    "DepthMask": (_BYTE,),
    "Disable": (_UINT,),
    "DisableVertexAttribArray": (_UINT,),
    "DrawArrays": (_UINT, _INT, _INT),
    "Enable": (_UINT,),
    "EnableVertexAttribArray": (_UINT,),
    "Flush": (),
    "FrontFace": (_UINT,),
    "GenBuffers": (_INT, _AT),
    "GetFloatv": (_UINT, _AT),
    "GetProgramInfoLog": (_UINT, _INT, _AT, _AT),
    "GetProgramiv": (_UINT, _UINT, _AT),
    "GetShaderInfoLog": (_UINT, _INT, _AT, _AT),
    "GetShaderiv": (_UINT, _UINT, _AT),
    "GetUniformLocation": (_UINT, _TEXT),
    "LineWidth": (_FLOAT,),
    "LinkProgram": (_UINT,),
    "PixelStorei": (_UINT, _INT),
    "ReadPixels": (_INT, _INT, _INT, _INT, _UINT, _UINT, _AT),
    "ShaderSource": (_UINT, _INT, _AT, _AT),
    "Uniform4f": (_INT, _FLOAT, _FLOAT, _FLOAT, _FLOAT),
    "UniformMatrix4fv": (_INT, _INT, _BYTE, _AT),
    "UseProgram": (_UINT,),
    "VertexAttribPointer": (_UINT, _INT, _UINT, _BYTE, _INT, _AT),
    "Viewport": (_INT, _INT, _INT, _INT),
}
_GIVES = {"CreateProgram": _UINT, "CreateShader": _UINT, "GetUniformLocation": _INT}
_LOG = 2000  # characters of what a compiler has to say


class Calls:
    """OpenGL's functions by their names without "gl"; make it and use it with its context current."""

    def __init__(self) -> None:
        context = QOpenGLContext.currentContext()
        if context is None:
            raise RuntimeError("no OpenGL context is current")
        form = getattr(ctypes, "WINFUNCTYPE", ctypes.CFUNCTYPE)
        for name, takes in _TAKES.items():
            address = context.getProcAddress(f"gl{name}".encode())
            if not address:
                raise RuntimeError(f"this OpenGL has no gl{name}")
            setattr(self, name, form(_GIVES.get(name), *takes)(address))

    def __getattr__(self, name: str) -> Callable[..., Any]:
        raise AttributeError(name)

    def buffer(self) -> int:
        """Return a new buffer."""
        made = ctypes.c_uint()
        self.GenBuffers(1, ctypes.byref(made))
        return made.value

    def widest_line(self) -> float:
        """Return the width of the widest line that can be drawn."""
        found = (ctypes.c_float * 2)()
        self.GetFloatv(ALIASED_LINE_WIDTH_RANGE, found)
        return float(found[1])

    def program(self, vertex: str, fragment: str, attributes: tuple[str, ...]) -> int:
        """Make a program whose attributes are numbered in that order."""
        program: int = self.CreateProgram()
        for kind, text in ((VERTEX_SHADER, vertex), (FRAGMENT_SHADER, fragment)):
            shader: int = self.CreateShader(kind)
            self.ShaderSource(shader, 1, ctypes.byref(ctypes.c_char_p(text.encode())), None)
            self.CompileShader(shader)
            self._check(self.GetShaderiv, self.GetShaderInfoLog, shader, COMPILE_STATUS)
            self.AttachShader(program, shader)
        for k, name in enumerate(attributes):
            self.BindAttribLocation(program, k, name.encode())
        self.LinkProgram(program)
        self._check(self.GetProgramiv, self.GetProgramInfoLog, program, LINK_STATUS)
        return program

    def _check(self, ask: Callable[..., Any], log: Callable[..., Any], what: int, status: int) -> None:
        good = ctypes.c_int()
        ask(what, status, ctypes.byref(good))
        if not good.value:
            words = ctypes.create_string_buffer(_LOG)
            log(what, _LOG, None, words)
            raise RuntimeError(words.value.decode(errors="replace"))

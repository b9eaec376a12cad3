"""OpenGL drawing of a scene into whatever framebuffer is bound. Knows no widget.

Shaders are written for the oldest context a desktop gives (GLSL 1.20), lines are one pixel wide (wide lines are
not to be had in newer contexts), colours are lit beforehand.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from OpenGL import GL

from app.theme import palette
from app.view3d.scene import GLASS, VEIL, Scene, edge_colour, rgb

_VERTEX = """#version 120
uniform mat4 place;
attribute vec3 at;
attribute vec4 tone;
varying vec4 shade;
void main() { shade = tone; gl_Position = place * vec4(at, 1.0); }
"""
_FRAGMENT = """#version 120
varying vec4 shade;
void main() { gl_FragColor = shade; }
"""
_STRIDE = 16  # three floats and four bytes a vertex


class Renderer:
    """Holds the program and one buffer of a context; make and use it with that context current."""

    def __init__(self) -> None:
        self._program = GL.glCreateProgram()
        for kind, text in ((GL.GL_VERTEX_SHADER, _VERTEX), (GL.GL_FRAGMENT_SHADER, _FRAGMENT)):
            shader = GL.glCreateShader(kind)
            GL.glShaderSource(shader, text)
            GL.glCompileShader(shader)
            if not GL.glGetShaderiv(shader, GL.GL_COMPILE_STATUS):
                raise RuntimeError(GL.glGetShaderInfoLog(shader))
            GL.glAttachShader(self._program, shader)
        GL.glBindAttribLocation(self._program, 0, b"at")
        GL.glBindAttribLocation(self._program, 1, b"tone")
        GL.glLinkProgram(self._program)
        if not GL.glGetProgramiv(self._program, GL.GL_LINK_STATUS):
            raise RuntimeError(GL.glGetProgramInfoLog(self._program))
        self._place = GL.glGetUniformLocation(self._program, b"place")
        self._buffer = GL.glGenBuffers(1)

    def draw(
        self, scene: Scene | None, matrix: NDArray[np.float64], width: int, height: int, *, top_first: bool = False
    ) -> None:
        """Draw into the bound framebuffer; sizes in device pixels.

        ``top_first`` draws upside down, so that the buffer read row by row is a picture as it stands.
        """
        p = palette()
        paper = rgb(p.paper) / 255
        GL.glViewport(0, 0, width, height)
        GL.glDepthMask(True)
        GL.glClearColor(*paper, 1.0)
        GL.glClear(GL.GL_COLOR_BUFFER_BIT | GL.GL_DEPTH_BUFFER_BIT)
        if scene is None:
            return
        GL.glUseProgram(self._program)
        if top_first:
            matrix = matrix * np.array([1.0, -1.0, 1.0, 1.0])[:, None]
        GL.glFrontFace(GL.GL_CW if top_first else GL.GL_CCW)
        GL.glUniformMatrix4fv(self._place, 1, True, matrix.astype(np.float32))
        GL.glEnable(GL.GL_DEPTH_TEST)
        GL.glDepthFunc(GL.GL_LEQUAL)
        ink, line, accent = rgb(edge_colour()), rgb(p.line), rgb(p.accent)
        try:
            self._lines(scene.floor, line)
            GL.glEnable(GL.GL_POLYGON_OFFSET_FILL)
            # Little slope: more would let the edges under a thin sheet show through it at a flat angle.
            GL.glPolygonOffset(0.4, 1.0)
            GL.glEnable(GL.GL_CULL_FACE)
            self._pass(scene.triangles.reshape(-1, 3), np.repeat(scene.face_colour, 3, 0), 255, GL.GL_TRIANGLES)
            GL.glDisable(GL.GL_CULL_FACE)
            GL.glDisable(GL.GL_POLYGON_OFFSET_FILL)
            self._lines(scene.vertices[scene.edges], ink)
            rims = np.stack([scene.rims, np.roll(scene.rims, -1, axis=1)], axis=2)
            self._lines(rims, ink)
            self._lines(scene.elbow_line[None], accent)
            # The machine is glass: seen through from both sides, so it must not fill the depth.
            GL.glEnable(GL.GL_BLEND)
            # The picture itself stays opaque: only colours are mixed.
            GL.glBlendFuncSeparate(GL.GL_SRC_ALPHA, GL.GL_ONE_MINUS_SRC_ALPHA, GL.GL_ZERO, GL.GL_ONE)
            GL.glDepthMask(False)
            ghost = scene.ghost.reshape(-1, 3)
            self._pass(ghost, np.broadcast_to(accent, (len(ghost), 3)), GLASS, GL.GL_TRIANGLES)
            self._lines(scene.ghost_edges, accent)
            GL.glDepthMask(True)
            self._veil(scene)
        finally:
            GL.glDepthMask(True)
            GL.glDisable(GL.GL_BLEND)
            GL.glDisable(GL.GL_DEPTH_TEST)
            GL.glUseProgram(0)

    def read(self, width: int, height: int) -> bytes:
        """Return the bound framebuffer as rows of blue, green, red, alpha bytes."""
        GL.glPixelStorei(GL.GL_PACK_ALIGNMENT, 4)
        return bytes(GL.glReadPixels(0, 0, width, height, GL.GL_BGRA, GL.GL_UNSIGNED_BYTE))

    def _veil(self, scene: Scene) -> None:
        """Draw the operator see-through as one body: first its depth alone, then only its nearest skin."""
        points = scene.person.reshape(-1, 3)
        colours = np.repeat(scene.person_colour, 3, 0)
        GL.glColorMask(False, False, False, False)
        self._pass(points, colours, 255, GL.GL_TRIANGLES)
        GL.glColorMask(True, True, True, True)
        self._pass(points, colours, VEIL, GL.GL_TRIANGLES)

    def _lines(self, segments: NDArray[np.float64], colour: NDArray[np.float64]) -> None:
        points = segments.reshape(-1, 3)
        self._pass(points, np.broadcast_to(colour, (len(points), 3)), 255, GL.GL_LINES)

    def _pass(self, points: NDArray[np.float64], colours: NDArray[np.float64], alpha: int, kind: int) -> None:
        if not len(points):
            return
        data = np.empty(len(points), np.dtype([("at", np.float32, 3), ("tone", np.uint8, 4)]))
        data["at"] = points
        data["tone"][:, :3] = colours
        data["tone"][:, 3] = alpha
        GL.glBindBuffer(GL.GL_ARRAY_BUFFER, self._buffer)
        GL.glBufferData(GL.GL_ARRAY_BUFFER, data.nbytes, data, GL.GL_STREAM_DRAW)
        GL.glEnableVertexAttribArray(0)
        GL.glEnableVertexAttribArray(1)
        GL.glVertexAttribPointer(0, 3, GL.GL_FLOAT, False, _STRIDE, GL.GLvoidp(0))
        GL.glVertexAttribPointer(1, 4, GL.GL_UNSIGNED_BYTE, True, _STRIDE, GL.GLvoidp(12))
        GL.glDrawArrays(kind, 0, len(points))
        GL.glDisableVertexAttribArray(0)
        GL.glDisableVertexAttribArray(1)
        GL.glBindBuffer(GL.GL_ARRAY_BUFFER, 0)

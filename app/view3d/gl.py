"""OpenGL drawing of a scene into whatever framebuffer is bound. Knows no widget.

Shaders are written for the oldest context a desktop gives (GLSL 1.20), lines are one pixel wide (wide lines are
not to be had in newer contexts), colours are lit beforehand.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

import numpy as np
import OpenGL
from numpy.typing import NDArray

# A check after every call costs more than the call; what can fail here is asked for by name.
OpenGL.ERROR_CHECKING = False
from OpenGL import GL  # noqa: E402

from app.theme import palette  # noqa: E402
from app.view3d.ink import edge_slopes  # noqa: E402
from app.view3d.scene import GLASS, VEIL, Scene, edge_colour, rgb  # noqa: E402

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
_INK_VERTEX = """#version 120
uniform mat4 place;
attribute vec3 at;
attribute vec4 spot;
attribute vec4 slope;
varying vec4 from;
varying vec4 rise;
void main() { from = spot; rise = slope; gl_Position = place * vec4(at, 1.0); }
"""
_INK_FRAGMENT = """#version 120
uniform vec4 ink;
varying vec4 from;
varying vec4 rise;
void main() {
    vec2 way = gl_FragCoord.xy - from.xy;
    gl_FragColor = ink;
    float one = dot(rise.xy, way), other = dot(rise.zw, way);
    gl_FragDepth = from.z + (from.w > 0.5 ? max(one, other) : min(one, other)) - 2e-6;
}
"""
_PLAIN = np.dtype([("at", np.float32, 3), ("tone", np.uint8, 4)])
_INKED = np.dtype([("at", np.float32, 3), ("spot", np.float32, 4), ("slope", np.float32, 4)])


class Renderer:
    """Holds the program and one buffer of a context; make and use it with that context current."""

    def __init__(self) -> None:
        self._program = _program(_VERTEX, _FRAGMENT, ("at", "tone"))
        self._ink = _program(_INK_VERTEX, _INK_FRAGMENT, ("at", "spot", "slope"))
        self._buffer = GL.glGenBuffers(1)
        self._widest = float(GL.glGetFloatv(GL.GL_ALIASED_LINE_WIDTH_RANGE)[1])

    def draw(
        self, scene: Scene | None, matrix: NDArray[np.float64], width: int, height: int, *,
        top_first: bool = False, line: float = 1.0,
    ) -> None:  # fmt: skip
        """Draw into the bound framebuffer; sizes in device pixels.

        ``line`` is the width of lines, pixels; some drivers know none but 1.

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
        GL.glUniformMatrix4fv(GL.glGetUniformLocation(self._program, b"place"), 1, True, matrix.astype(np.float32))
        GL.glLineWidth(min(line, self._widest))
        GL.glEnable(GL.GL_DEPTH_TEST)
        GL.glDepthFunc(GL.GL_LEQUAL)
        ink, rule, accent = rgb(edge_colour()), rgb(p.line), rgb(p.accent)
        try:
            self._lines(scene.floor, rule)
            GL.glEnable(GL.GL_CULL_FACE)
            self._pass(scene.triangles.reshape(-1, 3), np.repeat(scene.face_colour, 3, 0), 255, GL.GL_TRIANGLES)
            self._pass(scene.studs.reshape(-1, 3), np.repeat(scene.stud_colour, 3, 0), 255, GL.GL_TRIANGLES)
            GL.glDisable(GL.GL_CULL_FACE)
            self._edges(scene, matrix, width, height, ink)
            self._holes(scene, ink)
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

    def read(self, rows: NDArray[np.uint8]) -> None:
        """Read the bound framebuffer into (height, width, 4) rows of blue, green, red, alpha."""
        GL.glPixelStorei(GL.GL_PACK_ALIGNMENT, 4)
        GL.glReadPixels(0, 0, rows.shape[1], rows.shape[0], GL.GL_BGRA, GL.GL_UNSIGNED_BYTE, rows)

    def _veil(self, scene: Scene) -> None:
        """Draw the operator see-through as one body: first its depth alone, then only its nearest skin."""
        data = _vertices(scene.person.reshape(-1, 3), np.repeat(scene.person_colour, 3, 0), VEIL)
        GL.glEnable(GL.GL_CULL_FACE)
        with self._sent(data):
            GL.glColorMask(False, False, False, False)
            GL.glDrawArrays(GL.GL_TRIANGLES, 0, len(data))
            GL.glColorMask(True, True, True, True)
            GL.glDrawArrays(GL.GL_TRIANGLES, 0, len(data))
        GL.glDisable(GL.GL_CULL_FACE)

    def _lines(self, segments: NDArray[np.float64], colour: NDArray[np.float64]) -> None:
        points = segments.reshape(-1, 3)
        self._pass(points, np.broadcast_to(colour, (len(points), 3)), 255, GL.GL_LINES)

    def _edges(
        self, scene: Scene, matrix: NDArray[np.float64], width: int, height: int, ink: NDArray[np.float64]
    ) -> None:
        kept, spot, slope = edge_slopes(scene, matrix, width, height)
        data = np.empty(2 * len(kept), _INKED)
        data["at"] = scene.vertices[scene.edges[kept]].reshape(-1, 3)
        data["spot"], data["slope"] = np.repeat(spot, 2, 0), np.repeat(slope, 2, 0)
        GL.glUseProgram(self._ink)
        GL.glUniformMatrix4fv(GL.glGetUniformLocation(self._ink, b"place"), 1, True, matrix.astype(np.float32))
        GL.glUniform4f(GL.glGetUniformLocation(self._ink, b"ink"), *(ink / 255), 1.0)
        self._send(data, GL.GL_LINES)
        GL.glUseProgram(self._program)

    def _holes(self, scene: Scene, ink: NDArray[np.float64]) -> None:
        n = scene.rims.shape[1]
        fan = np.array([(0, k, k + 1) for k in range(1, n - 1)])
        points = scene.rims[:, fan].reshape(-1, 3)
        self._pass(points, np.broadcast_to(ink, (len(points), 3)), 255, GL.GL_TRIANGLES)

    def _pass(self, points: NDArray[np.float64], colours: NDArray[np.float64], alpha: int, kind: int) -> None:
        self._send(_vertices(points, colours, alpha), kind)

    def _send(self, data: NDArray[np.void], kind: int) -> None:
        if len(data):
            with self._sent(data):
                GL.glDrawArrays(kind, 0, len(data))

    @contextmanager
    def _sent(self, data: NDArray[np.void]) -> Iterator[None]:
        """Bring vertices to the card; their fields are the program's attributes in their order."""
        fields = data.dtype.fields or {}
        GL.glBindBuffer(GL.GL_ARRAY_BUFFER, self._buffer)
        GL.glBufferData(GL.GL_ARRAY_BUFFER, data.nbytes, data, GL.GL_STREAM_DRAW)
        for k, (form, start) in enumerate(fields.values()):
            whole = form.base == np.uint8
            GL.glEnableVertexAttribArray(k)
            GL.glVertexAttribPointer(
                k, form.shape[0], GL.GL_UNSIGNED_BYTE if whole else GL.GL_FLOAT, whole, data.itemsize, GL.GLvoidp(start)
            )
        yield
        for k in range(len(fields)):
            GL.glDisableVertexAttribArray(k)
        GL.glBindBuffer(GL.GL_ARRAY_BUFFER, 0)


def _vertices(points: NDArray[np.float64], colours: NDArray[np.float64], alpha: int) -> NDArray[np.void]:
    """Pack points and their colours."""
    data = np.empty(len(points), _PLAIN)
    data["at"] = points
    data["tone"][:, :3] = colours
    data["tone"][:, 3] = alpha
    return data


def _program(vertex: str, fragment: str, attributes: tuple[str, ...]) -> int:
    """Make a program whose attributes are numbered in that order."""
    program: int = GL.glCreateProgram()
    for kind, text in ((GL.GL_VERTEX_SHADER, vertex), (GL.GL_FRAGMENT_SHADER, fragment)):
        shader = GL.glCreateShader(kind)
        GL.glShaderSource(shader, text)
        GL.glCompileShader(shader)
        if not GL.glGetShaderiv(shader, GL.GL_COMPILE_STATUS):
            raise RuntimeError(GL.glGetShaderInfoLog(shader))
        GL.glAttachShader(program, shader)
    for k, name in enumerate(attributes):
        GL.glBindAttribLocation(program, k, name.encode())
    GL.glLinkProgram(program)
    if not GL.glGetProgramiv(program, GL.GL_LINK_STATUS):
        raise RuntimeError(GL.glGetProgramInfoLog(program))
    return program

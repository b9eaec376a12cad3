"""OpenGL drawing of a scene into whatever framebuffer is bound. Knows no widget.

Shaders are written for the oldest context a desktop gives (GLSL 1.20), lines are one pixel wide (wide lines are
not to be had in newer contexts), colours are lit beforehand.
"""

from __future__ import annotations

import ctypes

import numpy as np
from numpy.typing import NDArray

from app.theme import palette
from app.view3d import calls
from app.view3d.ink import edge_slopes
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


# Fields of a vertex as a program takes them: numbers, kind, whether they are shares of 255, first byte.
_PLAIN_FIELDS = ((3, calls.FLOAT, False, 0), (4, calls.UNSIGNED_BYTE, True, 12))
_INKED_FIELDS = ((3, calls.FLOAT, False, 0), (4, calls.FLOAT, False, 12), (4, calls.FLOAT, False, 28))


class Renderer:
    """Holds the programs and buffers of a context; make and use it with that context current."""

    def __init__(self) -> None:
        gl = self._gl = calls.Calls()
        self._program = gl.program(_VERTEX, _FRAGMENT, ("at", "tone"))
        self._ink = gl.program(_INK_VERTEX, _INK_FRAGMENT, ("at", "spot", "slope"))
        self._place = gl.GetUniformLocation(self._program, b"place")
        self._ink_place = gl.GetUniformLocation(self._ink, b"place")
        self._ink_tone = gl.GetUniformLocation(self._ink, b"ink")
        self._plain_buffer, self._ink_buffer = gl.buffer(), gl.buffer()
        self._widest = gl.widest_line()
        # What lies in the plain buffer: of which scene, in which colours, and from where to where each part of it.
        self._held: tuple[Scene, object] | None = None
        self._spans: dict[str, tuple[int, int]] = {}

    def draw(
        self, scene: Scene | None, matrix: NDArray[np.float64], width: int, height: int, *,
        top_first: bool = False, line: float = 1.0,
    ) -> None:  # fmt: skip
        """Draw into the bound framebuffer; sizes in device pixels.

        ``line`` is the width of lines, pixels; some drivers know none but 1.

        ``top_first`` draws upside down, so that the buffer read row by row is a picture as it stands.
        """
        gl = self._gl
        gl.Viewport(0, 0, width, height)
        gl.DepthMask(1)
        gl.ClearColor(*(rgb(palette().paper) / 255).tolist(), 1.0)
        gl.Clear(calls.COLOR_BUFFER_BIT | calls.DEPTH_BUFFER_BIT)
        if scene is None:
            return
        if top_first:
            matrix = matrix * np.array([1.0, -1.0, 1.0, 1.0])[:, None]
        gl.FrontFace(calls.CW if top_first else calls.CCW)
        # OpenGL counts a matrix by columns.
        place = np.ascontiguousarray(matrix.T, np.float32)
        gl.LineWidth(min(line, self._widest))
        gl.Enable(calls.DEPTH_TEST)
        gl.DepthFunc(calls.LEQUAL)
        gl.UseProgram(self._program)
        gl.UniformMatrix4fv(self._place, 1, 0, place.ctypes.data)
        try:
            self._hold(scene)
            self._draw("floor", calls.LINES)
            gl.Enable(calls.CULL_FACE)
            self._draw("steel", calls.TRIANGLES)
            gl.Disable(calls.CULL_FACE)
            self._edges(scene, matrix, place, width, height)
            self._draw("holes", calls.TRIANGLES)
            self._draw("elbow", calls.LINES)
            # The machine is glass: seen through from both sides, so it must not fill the depth.
            gl.Enable(calls.BLEND)
            # The picture itself stays opaque: only colours are mixed.
            gl.BlendFuncSeparate(calls.SRC_ALPHA, calls.ONE_MINUS_SRC_ALPHA, calls.ZERO, calls.ONE)
            gl.DepthMask(0)
            self._draw("ghost", calls.TRIANGLES)
            self._draw("ghost edges", calls.LINES)
            gl.DepthMask(1)
            # The operator is see-through as one body: first its depth alone, then only its nearest skin.
            gl.Enable(calls.CULL_FACE)
            gl.ColorMask(0, 0, 0, 0)
            self._draw("person", calls.TRIANGLES)
            gl.ColorMask(1, 1, 1, 1)
            self._draw("person", calls.TRIANGLES)
            gl.Disable(calls.CULL_FACE)
        finally:
            self._fields((), 0)
            gl.BindBuffer(calls.ARRAY_BUFFER, 0)
            gl.DepthMask(1)
            gl.Disable(calls.BLEND)
            gl.Disable(calls.DEPTH_TEST)
            gl.UseProgram(0)
            gl.Flush()  # what draws may begin now

    def read(self, rows: NDArray[np.uint8]) -> None:
        """Read the bound framebuffer into (height, width, 4) rows of blue, green, red, alpha."""
        self._gl.PixelStorei(calls.PACK_ALIGNMENT, 4)
        self._gl.ReadPixels(0, 0, rows.shape[1], rows.shape[0], calls.BGRA, calls.UNSIGNED_BYTE, rows.ctypes.data)

    def _hold(self, scene: Scene) -> None:
        """Bring all that does not hang on the eye to the card at once, unless it lies there already."""
        gl, colours = self._gl, palette()
        gl.BindBuffer(calls.ARRAY_BUFFER, self._plain_buffer)
        if self._held is None or self._held[0] is not scene or self._held[1] is not colours:
            ink, rule, accent = rgb(edge_colour()), rgb(colours.line), rgb(colours.accent)
            n = scene.rims.shape[1]
            fan = np.array([(0, k, k + 1) for k in range(1, n - 1)])
            shapes = (
                ("steel", scene.triangles, scene.face_colour, 255), ("steel", scene.studs, scene.stud_colour, 255),
                ("floor", scene.floor, rule, 255), ("holes", scene.rims[:, fan], ink, 255),
                ("elbow", scene.elbow_line, accent, 255), ("ghost", scene.ghost, accent, GLASS),
                ("ghost edges", scene.ghost_edges, accent, 255), ("person", scene.person, scene.person_colour, VEIL),
            )  # fmt: skip
            data = np.empty(sum(points.size // 3 for _, points, _, _ in shapes), _PLAIN)
            at, tone = data["at"], data["tone"]
            self._spans, first = {}, 0
            for name, points, tones, alpha in shapes:
                last = first + points.size // 3
                at[first:last] = points.reshape(-1, 3)
                tone[first:last, :3] = np.repeat(tones, 3, 0) if tones.ndim > 1 else tones
                tone[first:last, 3] = alpha
                self._spans[name] = (self._spans.get(name, (first, 0))[0], last)
                first = last
            gl.BufferData(calls.ARRAY_BUFFER, data.nbytes, data.ctypes.data, calls.STREAM_DRAW)
            self._held = scene, colours
        self._fields(_PLAIN_FIELDS, _PLAIN.itemsize)

    def _draw(self, name: str, kind: int) -> None:
        first, last = self._spans[name]
        if last > first:
            self._gl.DrawArrays(kind, first, last - first)

    def _edges(
        self, scene: Scene, matrix: NDArray[np.float64], place: NDArray[np.float32], width: int, height: int
    ) -> None:
        gl = self._gl
        kept, spot, slope = edge_slopes(scene, matrix, width, height)
        data = np.empty((len(kept), 2), _INKED)
        data["at"] = scene.vertices[scene.edges[kept]]
        data["spot"], data["slope"] = spot[:, None], slope[:, None]
        gl.UseProgram(self._ink)
        gl.UniformMatrix4fv(self._ink_place, 1, 0, place.ctypes.data)
        gl.Uniform4f(self._ink_tone, *(rgb(edge_colour()) / 255).tolist(), 1.0)
        gl.BindBuffer(calls.ARRAY_BUFFER, self._ink_buffer)
        gl.BufferData(calls.ARRAY_BUFFER, data.nbytes, data.ctypes.data, calls.STREAM_DRAW)
        self._fields(_INKED_FIELDS, _INKED.itemsize)
        if data.size:
            gl.DrawArrays(calls.LINES, 0, data.size)
        gl.UseProgram(self._program)
        gl.BindBuffer(calls.ARRAY_BUFFER, self._plain_buffer)
        self._fields(_PLAIN_FIELDS, _PLAIN.itemsize)

    def _fields(self, fields: tuple[tuple[int, int, bool, int], ...], size: int) -> None:
        """Say how vertices of ``size`` bytes lie in the bound buffer; the program's attributes in their order."""
        gl = self._gl
        for k, (count, kind, share, start) in enumerate(fields):
            gl.EnableVertexAttribArray(k)
            gl.VertexAttribPointer(k, count, kind, share, size, ctypes.c_void_p(start))
        for k in range(len(fields), len(_INKED_FIELDS)):
            gl.DisableVertexAttribArray(k)

"""3D files of the stand: glTF for looking at it, STL and 3MF for printing a model or for other programs.

The three formats are short enough to be written out here, and so the same brief always gives the same bytes: no file holds
a date or a random number.

Sources: Khronos glTF 2.0 specification; 3MF Core Specification 1.3 and Open Packaging Conventions; STL as its binary form
is commonly described (80 bytes, a count, 50 bytes a triangle). From memory; the files are read back by other libraries in
the tests.
"""

from __future__ import annotations

import io
import json
import struct
import zipfile
from collections.abc import Sequence
from pathlib import Path
from typing import Any
from xml.sax.saxutils import quoteattr

import numpy as np

from framecore.frame.model import Frame
from framecore.solids.exact import FITTING, STEEL, WOOD, ExactPart, exact_parts
from framecore.words import say

# name -> colour in sRGB 0..255, metallic, roughness. Bare metal is black where a viewer has nothing to mirror in it, so
# the steel is only partly metal.
_MATERIALS = {
    STEEL: ("steel", (126, 134, 144), 0.4, 0.55),
    WOOD: ("wood", (190, 150, 104), 0.0, 0.85),
    FITTING: ("foot", (62, 64, 68), 0.1, 0.7),
}
_ORDER = tuple(_MATERIALS)
_DAY = (1980, 1, 1, 0, 0, 0)  # the earliest a zip can hold
_FLOAT, _UINT = 5126, 5125
_POINTS, _INDICES = 34962, 34963


def write_solids(frame: Frame, folder: Path, title: str) -> tuple[Path, ...]:
    """Write stand.glb, stand.stl and stand.3mf, and stand.step where its library is installed; return their paths.

    Raises
    ------
    OSError
        a file cannot be written.
    """
    from framecore.solids.step import has_step, step_bytes

    parts = exact_parts(frame)
    contents = {
        "stand.glb": glb_bytes(parts, title), "stand.stl": stl_bytes(parts), "stand.3mf": threemf_bytes(parts, title),
    }  # fmt: skip
    if has_step():
        contents["stand.step"] = step_bytes(frame, title)
    out = []
    for name, data in contents.items():
        path = Path(folder) / name
        path.write_bytes(data)
        out.append(path)
    return tuple(out)


def glb_bytes(parts: Sequence[ExactPart], title: str) -> bytes:
    """Return the stand as binary glTF 2.0: metres, y up, one named node a part under one root named ``title``.

    Normals are left out, so a viewer shades every face flat, as glTF asks of it.
    """
    used = [m for m in _ORDER if any(p.material == m for p in parts)]
    points: list[bytes] = []
    indices: list[bytes] = []
    accessors: list[dict[str, Any]] = []
    at_point = at_index = 0
    for p in parts:
        x, y, z = (p.vertices * 1e-3).T
        xyz = np.ascontiguousarray(np.column_stack([x, z, -y]), "<f4")
        tri = np.ascontiguousarray(p.faces, "<u4")
        accessors += [
            {"bufferView": 0, "byteOffset": at_point, "componentType": _FLOAT, "count": len(xyz), "type": "VEC3",
             "min": xyz.min(0).tolist(), "max": xyz.max(0).tolist()},
            {"bufferView": 1, "byteOffset": at_index, "componentType": _UINT, "count": tri.size, "type": "SCALAR"},
        ]  # fmt: skip
        points.append(xyz.tobytes())
        indices.append(tri.tobytes())
        at_point += xyz.nbytes
        at_index += tri.nbytes
    count = len(parts)
    head = {
        "asset": {"version": "2.0", "generator": "Standwright"},
        "scene": 0,
        "scenes": [{"name": title, "nodes": [count]}],
        "nodes": [
            *({"name": say(p.name), "mesh": k} for k, p in enumerate(parts)),
            {"name": title or "stand", "children": list(range(count))},
        ],
        "meshes": [
            {"name": say(p.name), "primitives": [
                {"attributes": {"POSITION": 2 * k}, "indices": 2 * k + 1, "material": used.index(p.material)}
            ]}
            for k, p in enumerate(parts)
        ],
        "materials": [_gltf_material(m) for m in used],
        "accessors": accessors,
        "bufferViews": [
            {"buffer": 0, "byteOffset": 0, "byteLength": at_point, "target": _POINTS},
            {"buffer": 0, "byteOffset": at_point, "byteLength": at_index, "target": _INDICES},
        ],
        "buffers": [{"byteLength": at_point + at_index}],
    }  # fmt: skip
    text = json.dumps(head, ensure_ascii=False, separators=(",", ":")).encode()
    text += b" " * (-len(text) % 4)
    body = b"".join((*points, *indices))
    whole = 12 + 8 + len(text) + 8 + len(body)
    return b"".join(
        (
            struct.pack("<4sII", b"glTF", 2, whole),
            struct.pack("<I4s", len(text), b"JSON"), text,
            struct.pack("<I4s", len(body), b"BIN\0"), body,
        )
    )  # fmt: skip


def _gltf_material(material: str) -> dict[str, Any]:
    name, colour, metal, rough = _MATERIALS[material]
    # glTF wants light, not screen values: the sRGB curve undone.
    c = np.array(colour) / 255
    linear = np.where(c <= 0.04045, c / 12.92, ((c + 0.055) / 1.055) ** 2.4)
    return {
        "name": say(name),
        "pbrMetallicRoughness": {
            "baseColorFactor": [*np.round(linear, 4).tolist(), 1.0], "metallicFactor": metal, "roughnessFactor": rough,
        },
    }  # fmt: skip


_TRIANGLE = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("more", "<u2")])


def stl_bytes(parts: Sequence[ExactPart]) -> bytes:
    """Return the whole stand as one binary STL in mm, z up. Parts stay closed shells that touch each other."""
    corners = np.concatenate([p.vertices[p.faces] for p in parts])
    normal = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    size = np.linalg.norm(normal, axis=1, keepdims=True)
    rows = np.zeros(len(corners), _TRIANGLE)
    rows["corners"] = corners
    rows["normal"] = np.divide(normal, size, out=np.zeros_like(normal), where=size > 0)
    return b"binary, mm, z up".ljust(80) + struct.pack("<I", len(rows)) + rows.tobytes()


_CORE = "http://schemas.microsoft.com/3dmanufacturing/core/2015/02"
_TYPES = (
    '<?xml version="1.0" encoding="UTF-8"?>\n'
    '<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">'
    '<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>'
    '<Default Extension="model" ContentType="application/vnd.ms-package.3dmanufacturing-3dmodel+xml"/></Types>\n'
)
_RELATIONS = (
    '<?xml version="1.0" encoding="UTF-8"?>\n'
    '<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">'
    '<Relationship Target="/3D/3dmodel.model" Id="rel0" '
    'Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"/></Relationships>\n'
)


def threemf_bytes(parts: Sequence[ExactPart], title: str) -> bytes:
    """Return the stand as 3MF: mm, one named object a part, all of them components of one that is set to print.

    The whole stands in the positive octant, as printers want it; within it the parts keep the stand's axes.
    """
    low = np.min([p.vertices.min(0) for p in parts], axis=0)
    shift = " ".join(_number(-v) for v in low.tolist())
    materials = "".join(
        f'<base name={quoteattr(say(name))} displaycolor="#{r:02X}{g:02X}{b:02X}"/>'
        for name, (r, g, b), _, _ in _MATERIALS.values()
    )
    rows = [
        '<?xml version="1.0" encoding="UTF-8"?>\n',
        f'<model unit="millimeter" xml:lang="en" xmlns="{_CORE}">',
        f'<metadata name="Title">{quoteattr(title)[1:-1]}</metadata><metadata name="Application">Standwright</metadata>',
        f'<resources><basematerials id="1">{materials}</basematerials>\n',
    ]
    for number, p in enumerate(parts, 2):
        rows += [
            f'<object id="{number}" type="model" name={quoteattr(say(p.name))} pid="1" pindex="{_ORDER.index(p.material)}">',
            "<mesh><vertices>",
            *(f'<vertex x="{x:.5f}" y="{y:.5f}" z="{z:.5f}"/>' for x, y, z in p.vertices.tolist()),
            "</vertices><triangles>",
            *(f'<triangle v1="{i}" v2="{j}" v3="{k}"/>' for i, j, k in p.faces.tolist()),
            "</triangles></mesh></object>\n",
        ]
    whole = len(parts) + 2
    rows += [
        f'<object id="{whole}" type="model" name={quoteattr(title or "stand")}><components>',
        *(f'<component objectid="{number}"/>' for number in range(2, whole)),
        f'</components></object></resources>\n<build><item objectid="{whole}" transform="1 0 0 0 1 0 0 0 1 {shift}"/>',
        "</build></model>\n",
    ]
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w") as archive:
        for name, text in (
            ("[Content_Types].xml", _TYPES), ("_rels/.rels", _RELATIONS), ("3D/3dmodel.model", "".join(rows)),
        ):  # fmt: skip
            info = zipfile.ZipInfo(name, _DAY)
            info.compress_type = zipfile.ZIP_DEFLATED
            info.create_system = 3  # else it tells the system it was written on
            info.external_attr = 0o644 << 16
            archive.writestr(info, text.encode(), compresslevel=4)
    return file.getvalue()


def _number(value: float) -> str:
    return f"{value + 0.0:.5f}"  # + 0.0: no minus before nothing

"""The 3D files are read back: by their formats' own rules and by other libraries."""

from __future__ import annotations

import io
import json
import re
import struct
import xml.etree.ElementTree as ET
import zipfile
from dataclasses import replace

import lib3mf
import numpy as np
import pytest
import trimesh

from framecore.brief.model import Brief, Machine
from framecore.frame import build_frame
from framecore.solids import files, step
from framecore.solids.exact import ExactPart, exact_parts
from framecore.solids.files import glb_bytes, stl_bytes, threemf_bytes, write_solids

HOLES = ((0.0, 0.0), (600.0, 0.0), (0.0, 180.0), (600.0, 180.0))
TITLE = 'Ständer & "so" <1>'
CORE = "{http://schemas.microsoft.com/3dmanufacturing/core/2015/02}"


@pytest.fixture(scope="module")
def frame():
    b = Brief(machine=Machine(holes=HOLES))
    return build_frame(replace(b, top=replace(b.top, kind="wood")), 800.0)


@pytest.fixture(scope="module")
def parts(frame) -> tuple[ExactPart, ...]:
    return exact_parts(frame)


def box(parts) -> tuple[np.ndarray, np.ndarray]:
    every = np.concatenate([p.vertices for p in parts])
    return every.min(0), every.max(0)


def test_glb_is_chunks_that_add_up(parts):
    data = glb_bytes(parts, TITLE)
    magic, version, whole = struct.unpack_from("<4sII", data)
    assert (magic, version, whole) == (b"glTF", 2, len(data))
    size, kind = struct.unpack_from("<I4s", data, 12)
    assert kind == b"JSON" and size % 4 == 0
    head = json.loads(data[20 : 20 + size])
    body, kind = struct.unpack_from("<I4s", data, 20 + size)
    assert kind == b"BIN\0" and body % 4 == 0 and 28 + size + body == len(data)
    assert head["buffers"] == [{"byteLength": body}]
    assert sum(v["byteLength"] for v in head["bufferViews"]) == body
    root = head["nodes"][head["scenes"][head["scene"]]["nodes"][0]]
    assert root["name"] == TITLE
    assert [head["nodes"][k]["name"] for k in root["children"]] == [p.name for p in parts]
    stuff = {head["nodes"][k]["name"]: head["materials"][head["meshes"][head["nodes"][k]["mesh"]]["primitives"][0]["material"]]
             for k in root["children"]}  # fmt: skip
    assert {stuff[n]["name"] for n in ("leg FL", "pad FL")} == {"steel"}
    assert (stuff["top"]["name"], stuff["foot FL"]["name"]) == ("wood", "foot")
    for a in head["accessors"]:
        view = head["bufferViews"][a["bufferView"]]
        end = a["byteOffset"] + a["count"] * (12 if a["type"] == "VEC3" else 4)
        assert a["byteOffset"] % 4 == 0 and end <= view["byteLength"]


def test_glb_stands_upright_in_metres(parts):
    scene = trimesh.load(io.BytesIO(glb_bytes(parts, TITLE)), file_type="glb", process=False)
    low, high = box(parts)
    assert scene.bounds[0] == pytest.approx([low[0] / 1e3, low[2] / 1e3, -high[1] / 1e3], abs=1e-6)
    assert scene.bounds[1] == pytest.approx([high[0] / 1e3, high[2] / 1e3, -low[1] / 1e3], abs=1e-6)
    for p in parts:
        mesh = scene.geometry[p.name]
        assert mesh.is_watertight and mesh.is_winding_consistent, p.name
        assert mesh.volume * 1e9 == pytest.approx(p.volume, rel=1e-4), p.name


def test_stl_holds_every_triangle_in_mm(parts):
    data = stl_bytes(parts)
    assert not data.startswith(b"solid")  # a reader would take it for text
    (count,) = struct.unpack_from("<I", data, 80)
    assert count == sum(len(p.faces) for p in parts)
    assert len(data) == 84 + 50 * count
    mesh = trimesh.load(io.BytesIO(data), file_type="stl")
    low, high = box(parts)
    assert mesh.bounds == pytest.approx(np.array([low, high]), abs=1e-3)
    assert mesh.volume == pytest.approx(sum(p.volume for p in parts), rel=1e-5)


def test_stl_normals_point_out(parts):
    data = stl_bytes(parts)
    rows = np.frombuffer(data[84:], np.dtype([("n", "<f4", 3), ("p", "<f4", (3, 3)), ("a", "<u2")]))
    a, b, c = (rows["p"][:, k].astype(float) for k in range(3))
    turn = np.cross(b - a, c - a)
    clear = np.linalg.norm(turn, axis=1) > 1e-2
    assert ((turn * rows["n"]).sum(1)[clear] > 0).all()
    assert np.linalg.norm(rows["n"][clear], axis=1) == pytest.approx(1.0, abs=1e-5)


def test_3mf_has_the_parts_and_the_unit_its_core_asks_for(parts):
    with zipfile.ZipFile(io.BytesIO(threemf_bytes(parts, TITLE))) as archive:
        assert archive.testzip() is None
        assert archive.namelist() == ["[Content_Types].xml", "_rels/.rels", "3D/3dmodel.model"]
        types = ET.fromstring(archive.read("[Content_Types].xml"))
        assert {t.get("Extension") for t in types} == {"rels", "model"}
        (relation,) = ET.fromstring(archive.read("_rels/.rels"))
        assert relation.get("Target") == "/3D/3dmodel.model"
        assert relation.get("Type", "").endswith("/3dmanufacturing/2013/01/3dmodel")
        model = ET.fromstring(archive.read("3D/3dmodel.model"))
    assert model.get("unit") == "millimeter"
    assert model.findtext(f"{CORE}metadata[@name='Title']") == TITLE
    objects = {o.get("id"): o for o in model.iter(f"{CORE}object")}
    (item,) = model.iter(f"{CORE}item")
    assert objects[item.get("objectid")].get("name") == TITLE
    children = [c.get("objectid") for c in objects[item.get("objectid")].iter(f"{CORE}component")]
    assert [objects[k].get("name") for k in children] == [p.name for p in parts]
    for triangle in model.iter(f"{CORE}triangle"):
        assert len({triangle.get(k) for k in ("v1", "v2", "v3")}) == 3


def test_3mf_is_read_by_its_own_library(parts):
    model = lib3mf.get_wrapper().CreateModel()
    reader = model.QueryReader("3mf")
    reader.SetStrictModeActive(True)
    reader.ReadFromBuffer(threemf_bytes(parts, TITLE))
    assert reader.GetWarningCount() == 0
    found = {}
    meshes = model.GetMeshObjects()
    while meshes.MoveNext():
        mesh = meshes.GetCurrentMeshObject()
        assert mesh.IsManifoldAndOriented(), mesh.GetName()
        points = np.array([list(v.Coordinates) for v in mesh.GetVertices()])
        faces = np.array([list(t.Indices) for t in mesh.GetTriangleIndices()])
        found[mesh.GetName()] = (points, faces)
    assert list(found) == [p.name for p in parts]
    for p in parts:
        points, faces = found[p.name]
        again = ExactPart(name=p.name, kind=p.kind, material=p.material, vertices=points, faces=faces)
        assert again.volume == pytest.approx(p.volume, rel=1e-5), p.name
        assert points == pytest.approx(p.vertices, abs=2e-4)
    items = model.GetBuildItems()
    assert items.Count() == 1 and items.MoveNext()
    box_ = model.GetOutbox()
    low, high = box(parts)
    assert list(box_.MinCoordinate) == pytest.approx([0, 0, 0], abs=1e-3)
    assert list(box_.MaxCoordinate) == pytest.approx(list(high - low), abs=1e-3)


def test_the_same_stand_gives_the_same_bytes(frame, tmp_path, monkeypatch):
    first = {p.name: p.read_bytes() for p in write_solids(frame, tmp_path, TITLE)}
    monkeypatch.setattr("time.time", lambda: 2e9)
    again = {p.name: p.read_bytes() for p in write_solids(frame, tmp_path, TITLE)}
    assert first == again
    assert {"stand.glb", "stand.stl", "stand.3mf"} <= set(first)


def test_step_comes_with_its_library_alone(frame, tmp_path, monkeypatch):
    monkeypatch.setattr(step, "has_step", lambda: False)
    assert "stand.step" not in {p.name for p in write_solids(frame, tmp_path, TITLE)}
    monkeypatch.setattr(step, "has_step", lambda: True)
    monkeypatch.setattr(step, "step_bytes", lambda _frame, title: title.encode())
    (path,) = (p for p in write_solids(frame, tmp_path, TITLE) if p.name == "stand.step")
    assert path.read_bytes() == TITLE.encode()


def test_step_text_is_steady_and_plain():
    one = "#1 = NEXT_ASSEMBLY_USAGE_OCCURRENCE('7','leg','',#2,#3\n  ,$);\n#5 = PRODUCT('Ständ','','',(#8));\n"
    other = "#1 = NEXT_ASSEMBLY_USAGE_OCCURRENCE('123','leg','',#2,\n  #3,$);\n#5 = PRODUCT('Ständ','','',(#8));\n"
    text = step._steady(one)
    assert text == step._steady(other)
    assert re.search(r"OCCURRENCE\('1','leg','',#2,#3,\$\);", text)
    assert r"PRODUCT('St\X2\00E4\X0\nd'" in text


def test_nothing_below_zero_is_written_as_minus_zero():
    assert files._number(-0.0) == "0.00000"

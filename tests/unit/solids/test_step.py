"""STEP is read back by the library that the extra "step" installs; without it these are skipped."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

pytest.importorskip("OCP", reason='needs the extra "step"')

from OCP.BRepCheck import BRepCheck_Analyzer
from OCP.BRepGProp import BRepGProp
from OCP.GProp import GProp_GProps
from OCP.STEPControl import STEPControl_Reader
from OCP.TopAbs import TopAbs_SOLID
from OCP.TopExp import TopExp_Explorer

from framecore.brief.model import Brief, Machine
from framecore.catalogue import profile
from framecore.frame import build_frame
from framecore.solids.exact import exact_parts
from framecore.solids.step import has_step, part_solids, step_bytes

HOLES = ((0.0, 0.0), (600.0, 0.0), (0.0, 180.0), (600.0, 180.0))


def volume(shape) -> float:
    found = GProp_GProps()
    BRepGProp.VolumeProperties_s(shape, found)
    return found.Mass()


def frame_of(**more):
    b = Brief(machine=Machine(holes=HOLES))
    return build_frame(replace(b, frame=replace(b.frame, **more)), 800.0)


STYLES = [("rails between", "butted"), ("under the ring", "mitred"), ("wrapped angle", "mitred")]


@pytest.mark.parametrize(("legs", "corners"), STYLES)
def test_solids_are_sound_and_as_large_as_the_meshes(legs, corners):
    b = Brief(machine=Machine(holes=HOLES))
    sections = replace(b.frame.sections, legs="L 50x50x5" if legs == "wrapped angle" else "SHS 50x50x3")
    frame = build_frame(
        replace(b, frame=replace(b.frame, legs=legs, corners=corners, sections=sections),
                mounting=replace(b.mounting, slot=12.0)), 800.0,
    )  # fmt: skip
    meshes = {p.name: p.volume for p in exact_parts(frame)}
    solids = dict(part_solids(frame))
    assert list(solids) == list(meshes)
    for name, solid in solids.items():
        assert BRepCheck_Analyzer(solid).IsValid(), name
        assert volume(solid) == pytest.approx(meshes[name], rel=0.003), name


@pytest.mark.parametrize("name", ["SHS 50x50x3", "CHS 48.3x3.2", "L 50x50x5", "UPN 80", "RD 20", "FL 50x6"])
def test_arcs_are_true(name):
    """The area is the exact one, not a polygon's."""
    frame = frame_of()
    p = profile(name)
    bar = replace(frame.member("leg FL"), profile=p)
    (solid,) = (s for _, s in part_solids(replace(frame, members=(bar,), plates=(), holes=(), joints=(), feet=())))
    length = bar.end.point[2] - bar.start.point[2]
    assert volume(solid) == pytest.approx(p.properties.area * length, rel=1e-6)


def test_the_file_is_read_back_with_names_and_in_mm(tmp_path):
    frame = frame_of()
    data = step_bytes(frame, "Ständer")
    path = tmp_path / "stand.step"
    path.write_bytes(data)
    reader = STEPControl_Reader()
    reader.ReadFile(str(path))
    reader.TransferRoots()
    explorer, found = TopExp_Explorer(reader.OneShape(), TopAbs_SOLID), []
    while explorer.More():
        found.append(volume(explorer.Current()))
        explorer.Next()
    meshes = exact_parts(frame)
    assert sorted(found) == pytest.approx(sorted(p.volume for p in meshes), rel=0.003)
    names = re.findall(r"PRODUCT\('([^']*)'", data.decode("ascii"))
    assert names[0] == r"St\X2\00E4\X0\nder"
    assert sorted(names[1:]) == sorted(p.name for p in meshes)


def test_the_same_stand_gives_the_same_bytes():
    assert has_step()
    frame = frame_of()
    assert step_bytes(frame, "x") == step_bytes(frame, "x")

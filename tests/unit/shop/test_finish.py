"""The painted area by hand, what stays bare, and the litres."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from framecore.brief.model import Brief, Machine
from framecore.catalogue import profile
from framecore.frame import build_frame
from framecore.frame.model import EndCut, Frame, Hole, Member, Plate, PlateRole, Role
from framecore.shop.finish import LOSS, finish_plan, litres, painted_area
from framecore.solids import Solids, SolidsBuilder
from framecore.solids.contacts import contacts

HOLES = ((0.0, 0.0), (600.0, 0.0), (0.0, 180.0), (600.0, 180.0))
DENSITY = 7850.0


def bar(name: str, start, end, y_axis, z_axis, section: str = "SHS 50x50x3") -> Member:
    x = tuple((np.subtract(end, start) / math.dist(start, end)).tolist())
    ends = [EndCut(point=p, normal=n, kind="square", angle=0.0) for p, n in ((start, tuple(-v for v in x)), (end, x))]
    return Member(name=name, role=Role.LEG, profile=profile(section), start=ends[0], end=ends[1], y_axis=y_axis,
                  z_axis=z_axis, length=math.dist(start, end))  # fmt: skip


def alone(frame: Frame, *members: Member, plates: tuple[Plate, ...] = (), holes: tuple[Hole, ...] = ()) -> Frame:
    names = tuple(m.name for m in members) + tuple(p.name for p in plates)
    return replace(frame, members=members, plates=plates, holes=holes, joints=(), feet=(), mounts=(), casters=(),
                   topology=(names,))  # fmt: skip


@pytest.fixture(scope="module")
def any_frame() -> Frame:
    return build_frame(Brief(machine=Machine(holes=HOLES)), 800.0)


def built(frame: Frame) -> tuple[Solids, tuple]:
    solids = SolidsBuilder().build(frame, DENSITY)
    return solids, contacts(frame, solids)


UP = ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0))  # y and z axes of an upright bar
ROUND = 8 * 6.0 - 2 * math.pi * 6.0  # what the four corners of 6 mm take off 200 mm of sharp perimeter
STEEL = 541.0  # mm2 of SHS 50x50x3, EN 10219-2 as printed: 5.41 cm2


def test_an_open_tube_by_hand(any_frame):
    frame = alone(any_frame, bar("leg", (0.0, 0.0, 0.0), (0.0, 0.0, 1000.0), *UP))
    a = painted_area(frame, built(frame)[1])
    assert a.sides * 1e6 == pytest.approx((200 - ROUND) * 1000, rel=1e-9)
    assert a.ends * 1e6 == pytest.approx(2 * STEEL, abs=1.0)
    assert (a.contacts, a.openings, a.threads) == (0, 0, 0)


def test_a_capped_tube_with_a_rail_by_hand(any_frame):
    """A leg with a 60 mm square pad under it and a rail against its flank: what lies on steel is off on both sides."""
    leg = bar("leg", (0.0, 0.0, 10.0), (0.0, 0.0, 1010.0), *UP)
    rail = bar("rail", (25.0, 0.0, 500.0), (525.0, 0.0, 500.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
    pad = Plate(name="pad", role=PlateRole.PAD, thickness=10.0, origin=(0.0, 0.0, 0.0), u_axis=(1.0, 0.0, 0.0),
                v_axis=(0.0, 1.0, 0.0), outline=np.array([(-30, -30), (30, -30), (30, 30), (-30, 30.0)]),
                density=DENSITY)  # fmt: skip
    frame = alone(any_frame, leg, rail, plates=(pad,))
    a = painted_area(frame, built(frame)[1])
    foot = 50.0**2 - (4 - math.pi) * 6.0**2  # a tube's outer shape
    assert a.sides * 1e6 == pytest.approx((200 - ROUND) * 1500, rel=1e-9)
    assert a.plates * 1e6 == pytest.approx(2 * 3600 + 240 * 10, rel=1e-9)
    # The pad and the leg's flank lose the outer shape; the leg's foot and the rail's end lose their steel.
    assert a.contacts * 1e6 == pytest.approx(2 * foot + 2 * STEEL, rel=2e-3)
    assert a.net == pytest.approx(a.gross - a.contacts - sum(v for _, v in a.masked))


def test_a_mitred_corner_hides_both_its_faces(any_frame):
    b = Brief(machine=Machine(holes=HOLES))
    frame = build_frame(replace(b, frame=replace(b.frame, legs="under the ring", corners="mitred")), 800.0)
    ring = [m for m in frame.members if m.name.startswith("top rail")]
    a = painted_area(alone(frame, *ring), built(alone(frame, *ring))[1])
    assert a.ends > 0
    assert a.contacts == pytest.approx(a.ends, rel=1e-3)


def test_holes_open_two_faces_and_wood_is_not_painted(any_frame):
    outline = np.array([(-100, -100), (100, -100), (100, 100), (-100, 100.0)])
    steel = Plate(name="steel", role=PlateRole.SHELF, thickness=5.0, origin=(0.0, 0.0, 0.0), u_axis=(1.0, 0.0, 0.0),
                  v_axis=(0.0, 1.0, 0.0), outline=outline, density=DENSITY)  # fmt: skip
    wood = replace(steel, name="wood", origin=(0.0, 0.0, 5.0), steel=False)
    hole = Hole(owner="steel", centre=(0.0, 0.0, 5.0), axis=(0.0, 0.0, -1.0), diameter=20.0, depth=5.0, purpose="drain")
    frame = alone(any_frame, bar("leg", (500.0, 0.0, 0.0), (500.0, 0.0, 100.0), *UP), plates=(steel, wood),
                  holes=(hole, replace(hole, owner="wood")))  # fmt: skip
    a = painted_area(frame, built(frame)[1])
    assert a.plates * 1e6 == pytest.approx(2 * 200**2 + 800 * 5)
    assert a.contacts == 0  # steel under wood is painted before the wood goes on
    assert a.openings * 1e6 == pytest.approx(2 * math.pi * 10**2)


def test_every_bare_face_is_named_and_taken_off(any_frame):
    solids, touching = built(any_frame)
    a = painted_area(any_frame, touching)
    masked = dict(a.masked)
    pad = any_frame.plate("pad FL").outline
    side = float(np.ptp(pad[:, 0]))
    bore = next(h.diameter for h in any_frame.holes if h.purpose == "foot FL")
    assert masked["the undersides of the pads"] * 1e6 == pytest.approx(4 * (side**2 - math.pi / 4 * bore**2))
    assert masked["a spot for the earth lead"] * 1e6 == pytest.approx(900)
    bearer = any_frame.member(any_frame.mounts[0].member).profile
    flat = bearer.width - 2 * bearer.corner
    hole = math.pi / 4 * any_frame.mounts[0].hole ** 2
    assert masked["the machine's places on the seat"] * 1e6 == pytest.approx(4 * (flat**2 - hole))
    assert a.net == pytest.approx(a.gross - a.contacts - a.openings - sum(masked.values()))
    assert a.threads > 0
    plan = finish_plan(Brief(), any_frame, solids, touching)
    assert [n for n, _ in plan.masked] == [*masked, "the tapped holes"]
    assert (plan.area, plan.contacts) == (a.net, a.contacts)


def test_coats_follow_the_brief(any_frame):
    solids, touching = built(any_frame)
    b = Brief(machine=Machine(holes=HOLES))
    finish = replace(b.finish, paint="spray", primer_coats=1, primer_film=60.0, primer_solids=0.4, top_coats=3)
    plan = finish_plan(replace(b, finish=finish), any_frame, solids, touching)
    assert [c.name for c in plan.coats] == ["Primer", "Paint, coat 1", "Paint, coat 2", "Paint, coat 3"]
    # The dry volume on the steel: m2 times µm is cm3, a thousandth of a litre.
    assert plan.coats[0].litres == pytest.approx(plan.area * 60e-3 / 0.4 * (1 + LOSS["spray"]))
    assert plan.coats[0].film_um == 60.0
    none = finish_plan(replace(b, finish=replace(b.finish, paint="none")), any_frame, solids, touching)
    assert none.coats == () and none.area == plan.area


def test_cautions_stand_beside_it(any_frame):
    solids, touching = built(any_frame)
    for paint in ("none", "brush", "spray"):
        b = Brief(machine=Machine(holes=HOLES))
        text = " ".join(finish_plan(replace(b, finish=replace(b.finish, paint=paint)), any_frame, solids, touching).notes)
        for word in ("chlorin", "Galvanised", "aerosol", "poisonous"):
            assert word in text
        if paint != "none":
            assert "The tin's label goes before" in text and "data sheet hold" in text


def test_litres_grow_with_film_and_loss():
    assert litres(10.0, 50.0, 0.5, 0.0) == pytest.approx(1.0)
    assert litres(10.0, 100.0, 0.5, 0.1) == pytest.approx(2.2)

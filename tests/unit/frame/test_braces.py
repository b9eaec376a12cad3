"""Braces, gussets and panels: where they land, what they clear, what they stiffen, what is refused."""

from __future__ import annotations

import itertools
import math
from dataclasses import replace

import manifold3d
import numpy as np
import pytest

from framecore.brief.model import Brief, Floor, Machine
from framecore.catalogue import profile
from framecore.errors import Severity
from framecore.frame import build_frame
from framecore.frame._braces import dress
from framecore.frame._build import box_bar
from framecore.frame.draft import Draft
from framecore.frame.model import Bay, Role
from framecore.solids import SolidsBuilder
from framecore.strength import Analyst

HOLES = ((0.0, 0.0), (600.0, 0.0), (0.0, 180.0), (600.0, 180.0))
# Bearers that hang 20 mm below their rails.
DEEP = {"legs": "SHS 60x60x3", "top_rails": "SHS 40x40x3", "bearers": "SHS 60x60x3", "braces": "SHS 40x40x3"}
SIDES = ("front", "back", "left", "right")
KINDS = ("diagonal", "crossed", "gussets", "sheet panel")


def brief(sections=None, top="none", braces=None, **frame):
    b = Brief(machine=Machine(holes=HOLES, centre_of_mass=(300.0, 90.0, 150.0)), floor=Floor(slope=0.0))
    kept = replace(b.frame.sections, **(sections or {}))
    return replace(
        b, frame=replace(b.frame, sections=kept, **frame), braces=replace(b.braces, **(braces or {})),
        top=replace(b.top, kind=top),
    )  # fmt: skip


def stand(height=800.0, **asked):
    return build_frame(brief(**asked), height)


def strength(**asked):
    b = brief(**asked)
    frame = build_frame(b, 800.0)
    return Analyst().analyse(b, frame, SolidsBuilder().build(frame, 7850.0))


def codes(frame):
    return [f.code for f in frame.findings]


def bodies(frame):
    """Every part as a manifold of its own."""
    s = SolidsBuilder().build(frame, 7850.0)
    out = {}
    for k, name in enumerate(s.layout.parts):
        own = s.layout.faces[s.layout.face_part == k]
        used, faces = np.unique(own, return_inverse=True)
        mesh = manifold3d.Mesh64(s.vertices[used], faces.reshape(-1, 3).astype(np.uint64))
        body = manifold3d.Manifold(mesh)
        assert body.status() == manifold3d.Error.NoError
        out[name] = body
    return out


def assert_meets(one, other):
    """They touch, and share no steel beyond rounding."""
    assert (one ^ other).volume() < 0.1
    assert one.min_gap(other, 5.0) < 1e-6


def test_a_diagonal_clears_the_rails_by_the_fillet_and_lands_flush():
    f = stand(braces={"front": "diagonal"})
    m = f.member("brace front")
    assert m.role is Role.BRACE
    # Lowest and highest fibre: 15 mm either side of the middle, on the legs' inner faces.
    cos = m.x_axis[0]
    low = m.start.point[2] - 15.0 / cos
    high = m.end.point[2] + 15.0 / cos
    assert low == pytest.approx(200.0 + 3.0, abs=1e-9)
    assert high == pytest.approx(750.0 - 3.0, abs=1e-9)
    assert (m.start.point[0], m.end.point[0]) == pytest.approx((-450.0, 450.0))
    assert {m.start.kind, m.end.kind} == {"mitre"}
    assert m.start.point[1] == m.end.point[1] == -225.0  # the bay's plane


def test_joints_lie_on_the_legs_where_the_braces_middle_meets_the_face():
    f = stand(braces={"back": "diagonal"})
    m = f.member("brace back")
    joints = {j.name: j for j in f.joints if j.name.startswith("brace back")}
    low = joints["brace back low"]
    assert low.members == ("leg BL", "brace back")
    assert low.point == pytest.approx((-475.0, 225.0, m.start.point[2]))
    assert joints["brace back high"].members == ("leg BR", "brace back")
    assert joints["brace back high"].point == pytest.approx((475.0, 225.0, m.end.point[2]))


@pytest.mark.parametrize("kind", ["diagonal", "crossed"])
@pytest.mark.parametrize("section", ["SHS 30x30x3", "FL 40x5", "RHS 40x20x2"])
def test_braces_touch_what_they_land_on_and_overlap_nothing(kind, section):
    f = stand(sections={"braces": section}, braces=dict.fromkeys(SIDES, kind))
    body = bodies(f)
    joined = {frozenset(p) for j in f.joints if "brace" in j.kind for p in itertools.combinations(j.members, 2)}
    for pair in joined:
        if sum(name.startswith("brace") for name in pair) == 0 or all("half" in name for name in pair):
            continue
        assert_meets(*(body[name] for name in pair))
    braces = [m.name for m in f.members if m.role is Role.BRACE]
    for name in braces:
        for other in body:
            if other != name:
                assert (body[name] ^ body[other]).volume() < 0.1, (name, other)


@pytest.mark.parametrize("kind", ["gussets", "sheet panel"])
def test_plates_touch_their_members_and_overlap_nothing(kind):
    f = stand(braces=dict.fromkeys(SIDES, kind))
    body = bodies(f)
    plates = [p for p in f.plates if p.role in ("gusset", "panel")]
    assert len(plates) == (16 if kind == "gussets" else 4)
    for p in plates:
        side = p.name.split()[1]
        touching = [n for n in body if n != p.name and body[p.name].min_gap(body[n], 5.0) < 1e-6]
        assert len([n for n in touching if n.startswith("leg")]) == (1 if kind == "gussets" else 2)
        assert len([n for n in touching if side in n and "rail" in n]) == (1 if kind == "gussets" else 2)
        for other in body:
            if other != p.name:
                assert (body[p.name] ^ body[other]).volume() < 0.1, (p.name, other)


def leaning(lean, splay, kind):
    """A bay between two legs that lean back with its plane and towards each other in it, deg."""
    a, c = math.radians(lean), math.radians(splay)
    u, v = np.array((1.0, 0.0, 0.0)), np.array((0.0, math.sin(a), math.cos(a)))
    normal = np.cross(u, v)
    section = profile("SHS 50x50x3")
    draft = Draft(layout="made", brief=brief(braces={"front": kind}), seat=800.0, ring_top=800.0, length=900.0, depth=400.0)
    corners = {}
    for name, sign in (("left", 1.0), ("right", -1.0)):
        along, inward = math.cos(c) * v + sign * math.sin(c) * u, sign * math.cos(c) * u - math.sin(c) * v
        foot = -sign * 425.0 * u
        draft.members.append(
            box_bar(f"leg {name}", Role.LEG, section, start=tuple(foot), end=tuple(foot + 800.0 * along),
                    y_axis=tuple(inward), z_axis=tuple(np.cross(along, inward)))
        )  # fmt: skip
        for level in (200.0, 700.0):
            edge = foot + 25.0 * inward
            corners[name, level] = tuple(edge + (level - edge @ v) / (along @ v) * along)
    for level, name in ((200.0, "rail low"), (700.0, "rail high")):
        ends = [corners[side, level] for side in ("left", "right")]
        shift = (25.0 if level == 700.0 else -25.0) * v
        rail = box_bar(name, Role.TOP_RAIL, section, start=tuple(ends[0] + shift), end=tuple(ends[1] + shift),
                       y_axis=tuple(-normal), z_axis=tuple(v))  # fmt: skip
        draft.members.append(rail)
    draft.bays.append(
        Bay(name="front", side="front", left="leg left", right="leg right", bottom="rail low", top="rail high",
            corners=(corners["left", 200.0], corners["right", 200.0], corners["right", 700.0], corners["left", 700.0]),
            normal=tuple(normal), joints=("a", "b", "c", "d"))
    )  # fmt: skip
    dress(draft)
    return draft


@pytest.mark.parametrize(("lean", "splay"), [(0.0, 0.0), (8.0, 0.0), (0.0, 6.0), (15.0, 10.0), (10.0, -5.0)])
def test_ends_lie_in_the_faces_of_legs_that_lean(lean, splay):
    """In and out of the bay's plane: the end planes are the legs' own flats, the brace stays in the bay's plane."""
    draft = leaning(lean, splay, "crossed")
    normal = draft.bays[0].normal
    for name, end, upright in (
        ("brace front", "start", "leg left"), ("brace front", "end", "leg right"),
        ("brace front lower half", "start", "leg right"), ("brace front upper half", "end", "leg left"),
    ):  # fmt: skip
        brace, leg = draft.member(name), draft.member(upright)
        cut = getattr(brace, end)
        # The leg's flat: 25 mm from its line, along its own inward axis.
        assert cut.normal == pytest.approx([-v for v in leg.y_axis], abs=1e-12)
        assert np.dot(np.subtract(cut.point, leg.start.point), leg.y_axis) == pytest.approx(25.0, abs=1e-9)
        assert np.dot(brace.x_axis, normal) == pytest.approx(0.0, abs=1e-12)
    for joint in draft.joints:
        run = draft.member(joint.members[0])
        assert np.linalg.norm(np.cross(np.subtract(joint.point, run.start.point), run.x_axis)) < 1e-9
    # Every toe stays clear of the rails by the fillet, the outermost ones just so.
    ups = np.cross(normal, np.subtract(draft.bays[0].corners[1], draft.bays[0].corners[0]))
    ups /= np.linalg.norm(ups)
    s = SolidsBuilder().build(draft.freeze(), 7850.0)
    toes = np.concatenate([s.vertices[s.layout.vertex_part == k] for k, n in enumerate(s.layout.parts) if "brace" in n])
    levels = toes @ ups
    assert (levels.min(), levels.max()) == pytest.approx((203.0, 697.0), abs=1e-6)
    body = bodies(draft.freeze())
    for a, b in itertools.combinations(body, 2):
        if "brace" in a or "brace" in b:
            assert (body[a] ^ body[b]).volume() < 0.1, (a, b)
    assert_meets(body["brace front"], body["brace front lower half"])
    assert_meets(body["brace front"], body["brace front upper half"])


def test_gussets_follow_the_corners_of_a_splayed_bay():
    draft = leaning(5.0, 8.0, "gussets")
    body = bodies(draft.freeze())
    plates = [p.name for p in draft.plates]
    assert len(plates) == 4
    for name in plates:
        touching = [n for n in body if n != name and body[name].min_gap(body[n], 2.0) < 1e-6]
        assert len(touching) == 2
        assert all((body[name] ^ body[n]).volume() < 0.1 for n in body if n != name)


def test_a_gusset_is_a_right_triangle_less_its_corner():
    f = stand(braces={"front": "gussets", "gusset": 120.0, "gusset_thickness": 6.0})
    p = f.plate("gusset front top right")
    x, y = p.outline.T
    area = (x * np.roll(y, -1) - y * np.roll(x, -1)).sum() / 2
    assert area == pytest.approx(120**2 / 2 - 15**2 / 2)
    at = np.array(p.origin) + p.outline[:, :1] * np.array(p.u_axis) + p.outline[:, 1:] * np.array(p.v_axis)
    assert at[:, 0].max() == pytest.approx(450.0)
    assert at[:, 2].max() == pytest.approx(750.0)
    assert at[:, 0].min() == pytest.approx(450.0 - 120.0)
    assert p.origin[1] == pytest.approx(-225.0 + 3.0)  # the leg's middle is the plate's
    held = next(q for q in f.plated if q.plate == p.name)
    assert (held.kind, held.ends, held.thickness) == (
        "gusset", ("gusset front top right on upright", "gusset front top right on rail"), 6.0,
    )  # fmt: skip
    ends = {j.name: j for j in f.joints}
    assert ends[held.ends[0]].point == pytest.approx((475.0, -225.0, 750.0 - 120.0))
    assert ends[held.ends[1]].members == ("top rail front",)
    assert ends[held.ends[1]].point == pytest.approx((450.0 - 120.0, -225.0, 775.0))


def test_lower_gussets_give_way_to_a_sheet_shelf():
    asked = {"braces": dict.fromkeys(SIDES, "gussets")}
    bare, shelved = stand(**asked), stand(shelf="sheet", **asked)
    count = [sum(p.name.startswith("gusset") for p in f.plates) for f in (bare, shelved)]
    assert count == [16, 8]
    assert codes(shelved).count("braces.gussets_on_shelf") == 4 and "braces.gussets_on_shelf" not in codes(bare)
    parts = bodies(shelved)
    shelf = parts["shelf"]
    assert all((body ^ shelf).volume() < 0.1 for name, body in parts.items() if name.startswith("gusset"))


def test_without_a_lower_ring_gussets_stand_at_the_top_alone():
    f = stand(braces={"left": "gussets"}, lower_ring=0.0)
    assert [p.name for p in f.plates if p.role == "gusset"] == ["gusset left top right", "gusset left top left"]


def test_a_panel_laps_its_bay_and_counts_its_screws():
    f = stand(braces={"right": "sheet panel", "panel_pitch": 150.0}, sections={"lower_rails": "SHS 50x50x3"})
    p = f.plate("panel right")
    assert np.ptp(p.outline, axis=0) == pytest.approx((400 + 40, 550 + 40))
    assert p.origin[0] == pytest.approx(500.0)  # on the outer faces
    # Screw lines 420 x 570: 3 and 4 spaces a side.
    assert "lapping 20 mm" in p.note and "14 screws, at most 150 mm apart" in p.note
    held = next(q for q in f.plated if q.plate == p.name)
    assert (held.kind, held.fixing, held.pitch, held.thickness) == ("panel", "bolted", 150.0, 1.5)
    assert held.ends == ("lower rail corner FR", "lower rail corner BR", "top rail corner BR", "top rail corner FR")


def test_a_sheet_top_holds_the_ring_and_a_wooden_one_does_not():
    f = stand(top="sheet")
    assert [(p.kind, p.plate, p.fixing, p.pitch) for p in f.plated] == [("panel", "top", "bolted", 150.0)]
    at = {j.name: np.array(j.point) for j in f.joints}
    loop = [at[n] for n in f.plated[0].ends]
    sides = [np.linalg.norm(loop[k] - loop[k - 1]) for k in range(4)]
    assert sorted(sides) == pytest.approx([450.0, 450.0, 950.0, 950.0])  # round the ring, never across
    assert stand(top="wood").plated == stand().plated == ()


@pytest.fixture(scope="module")
def bare():
    return strength()


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("side", SIDES)
def test_braces_only_stiffen(bare, kind, side):
    braced = strength(braces={side: kind})
    along, across = ("sway_x", "sway_y") if side in ("front", "back") else ("sway_y", "sway_x")
    assert getattr(braced, along) > 1.02 * getattr(bare, along)
    assert getattr(braced, across) > 0.999 * getattr(bare, across)
    assert braced.twist > bare.twist


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize(("one", "other"), [("front", "back"), ("left", "right")])
def test_mirrored_braces_give_mirrored_answers(kind, one, other):
    """Stand, machine and floor are symmetric: to brace the other side is to turn the stand round."""
    a, b = strength(braces={one: kind}), strength(braces={other: kind})
    for name in ("sway_x", "sway_y", "twist"):
        assert getattr(a, name) == pytest.approx(getattr(b, name), rel=1e-8), name


def test_braces_that_land_at_one_place_share_a_joint():
    """A square plan: front and left braces meet leg FL's line at one level, and the leg must stay whole."""
    asked = {"length": 600.0, "depth": 600.0}
    b = replace(brief(braces=dict.fromkeys(SIDES, "gussets"), **asked), machine=Machine())
    f = build_frame(b, 800.0)
    points = [(j.members[0], tuple(round(v, 3) for v in j.point)) for j in f.joints]
    assert len(points) == len(set(points))
    s = Analyst().analyse(b, f, SolidsBuilder().build(f, 7850.0))
    plain = replace(b, braces=Brief().braces)
    g = build_frame(plain, 800.0)
    assert s.sway_x > Analyst().analyse(plain, g, SolidsBuilder().build(g, 7850.0)).sway_x


@pytest.mark.parametrize(
    ("asked", "code", "severity"),
    [
        ({"braces": {"left": "diagonal"}, "legs": "wrapped angle", "sections": {"legs": "L 50x50x5"}}, "braces.no_bay", "look"),
        ({"braces": {"left": "crossed"}, "sections": {"braces": "L 30x30x3"}}, "braces.section", "stop"),
        ({"braces": {"left": "crossed"}, "sections": {"braces": "CHS 33.7x3.2"}}, "braces.section", "stop"),
        ({"braces": {"left": "gussets", "gusset": 280.0}}, "braces.gusset_large", "stop"),
        ({"braces": {"left": "sheet panel"}, "lower_ring": 0.0}, "braces.panel_open", "look"),
        ({"braces": {"back": "diagonal"}, "lower_ring": 500.0}, "braces.angle", "look"),
        ({"braces": {"left": "diagonal"}, "depth": 250.0, "lower_ring": 100.0}, "braces.angle", "look"),
        ({"braces": {"back": "diagonal"}, "lower_ring": 745.0}, "braces.bay_small", "stop"),
        ({"braces": {"front": "crossed"}}, "braces.knees", "look"),
        ({"braces": {"left": "diagonal"}, "sections": {"braces": "SHS 40x40x3"}}, "braces.wide", "look"),
        ({"braces": {"left": "gussets"}, "sections": {"lower_rails": "SHS 30x30x3"}}, "braces.gusset_off", "look"),
        ({"braces": {"back": "crossed"}, "legs": "under the ring", "length": 800.0, "sections": DEEP}, "braces.bearer", "look"),
    ],
)
def test_what_cannot_be_braced_is_told_with_a_cure(asked, code, severity):
    found = [f for f in stand(**asked).findings if f.code == code]
    assert found
    assert {f.severity for f in found} == {Severity(severity)}
    assert all(f.message.endswith(".") and f.message[0].isupper() and f.field for f in found)


def test_a_plain_braced_stand_has_nothing_to_tell():
    assert codes(stand(braces={"back": "diagonal", "left": "crossed", "right": "sheet panel", "front": "gussets"})) == []


def test_fit_up_counts_the_width_across_the_leg_and_tells_the_length_along_it():
    f = stand(braces={"left": "diagonal"})
    joint = next(j for j in f.joints if j.name == "brace left low")
    assert joint.fit_ups[0].room == pytest.approx((50 - 12 - 30) / 2)
    slope = math.asin(f.member("brace left").x_axis[2])
    assert f"{30 / math.cos(slope):.0f} mm long along the upright" in joint.fit_ups[0].text
    # At this slope the narrow side is sharper than 60 deg, where a fillet does not reach the root.
    assert math.degrees(slope) > 30
    assert "narrow side" in joint.fit_ups[0].text


def test_second_bay_of_a_side_falls_where_the_first_rises():
    draft = leaning(0.0, 0.0, "none")
    bay = draft.bays[0]
    twin = replace(bay, name="front 2", corners=tuple((x + 1000.0, y, z) for x, y, z in bay.corners))
    draft.bays[:] = [twin, replace(bay, name="front 1")]
    for m in list(draft.members):
        if m.name.startswith("leg"):
            shift = [replace(e, point=(e.point[0] + 1000.0, *e.point[1:])) for e in (m.start, m.end)]
            draft.members.append(replace(m, name=f"{m.name} 2", start=shift[0], end=shift[1]))
    draft.bays[0] = replace(twin, left="leg left 2", right="leg right 2")
    draft.brief = brief(braces={"front": "diagonal"})
    dress(draft)
    first, second = draft.member("brace front 1"), draft.member("brace front 2")
    assert first.x_axis[0] > 0 > second.x_axis[0]
    assert first.x_axis[2] == pytest.approx(second.x_axis[2])
    assert second.x_axis[2] > 0


def test_a_panel_is_notched_where_long_rails_pass():
    """The inner sides of a pair of pedestals: the ring's long rails run on past the sheet's upper corners."""
    f = stand(layout="pedestal pair", length=1400.0, braces={"left": "sheet panel"})
    body = bodies(f)
    inner = next(p for p in f.plates if p.role == "panel" and "inner" in p.name)
    outer = next(p for p in f.plates if p.role == "panel" and "inner" not in p.name)
    assert (len(inner.outline), len(outer.outline)) == (8, 4)
    assert "notched" in inner.note and "notched" not in outer.note
    x, y = inner.outline.T
    assert (x * np.roll(y, -1) - y * np.roll(x, -1)).sum() > 0  # counter-clockwise
    for name in (inner.name, outer.name):
        assert all((body[name] ^ body[n]).volume() < 0.1 for n in body if n != name)


@pytest.mark.parametrize("ring", ["SHS 50x50x3", "SHS 60x60x3", "SHS 80x80x3"])
def test_the_notch_of_a_panel_clears_the_rail_and_its_weld_whatever_its_width(ring):
    """A ring wider than the legs runs on behind the bay's corner: the notch goes as far as the rail and its fillets."""
    sections = {"legs": "SHS 60x60x3", "top_rails": ring}
    f = stand(layout="pedestal pair", length=1400.0, braces={"left": "sheet panel"}, sections=sections)
    inner = next(p for p in f.plates if p.role == "panel" and "inner" in p.name)
    rail, legs = [[f.member(f"{m} {e}").start.point for e in es] for m, es in (("top rail", ("front", "back")),
                                                                              ("leg", ("FML", "BML")))]  # fmt: skip
    wide, low = f.member("top rail front").profile.width, rail[0][2] - f.member("top rail front").profile.height / 2
    corners = inner.outline @ [inner.u_axis, inner.v_axis] + inner.origin
    tab = np.ptp(corners[corners[:, 2] > low - 1.0, 1])
    # 3 mm fillets and a millimetre to spare beside the rails; a narrower ring leaves it to the legs.
    assert tab == pytest.approx(min(rail[1][1] - rail[0][1] - wide - 2 * 4.0, legs[1][1] - legs[0][1] - 60.0))
    body = bodies(f)
    assert all((body[inner.name] ^ body[n]).volume() < 0.1 for n in body if n != inner.name)


def test_a_panel_over_faces_that_are_not_flush_tells_which_to_pack_out():
    f = stand(layout="trestle", splay=0.0, braces={"left": "sheet panel"})
    found = [x for x in f.findings if x.code == "braces.panel_step"]
    assert len(found) == 1
    # A 40 mm lower rail in the middle of 50 mm legs.
    assert "5 mm off lower rail left" in found[0].message


def test_a_bearer_in_the_way_is_told_for_every_brace_it_cuts():
    asked = {"legs": "under the ring", "braces": {"back": "crossed"}, "sections": DEEP}
    for length, clash in ((800.0, True), (900.0, False)):
        f = stand(length=length, **asked)
        body = bodies(f)
        cut = {n for n in body if n.startswith("brace") for o in body if "bearer" in o and (body[n] ^ body[o]).volume() > 1}
        told = {n for n in body if n.startswith("brace") and any(f"into {n};" in x.message for x in f.findings)}
        assert told == cut
        assert bool(cut) is clash

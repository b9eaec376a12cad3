"""Splash back, bracket for a switch box and motor plate: for any layout that has the rails they hang on."""

from __future__ import annotations

from framecore.brief.kinds import OutlineBox
from framecore.catalogue import steel as find_steel
from framecore.errors import Finding, Severity
from framecore.frame._around import FLUSH, SIDES, Box, Side, member_box, outer_rails, plate_box
from framecore.frame._build import rectangle
from framecore.frame._motor import add_motor_plate
from framecore.frame._outpost import add_post, free_along, has_seat, outer_plane, post_profile, sheet_joint, sizes
from framecore.frame.draft import Draft
from framecore.frame.machine import machine_datum
from framecore.frame.model import Hole, Plate, PlateRole, Role, Vector

# A usual enclosure for a starter and stop button, mm (common practice), and its two fixing screws.
BOX_WIDTH, BOX_HEIGHT, BOX_SCREW = 120.0, 160.0, 5.5
BOX_ABOVE = 40.0  # of the plate's lower edge above the seat, mm
PAST = 120.0  # most that the sheet of a splash back stands past its posts' middles (common practice), mm
_AIR = 5.0  # between machine and sheet, mm
_UP: Vector = (0.0, 0.0, 1.0)


def dress_extras(d: Draft) -> None:
    """Add to a finished layout what ``brief.extras`` asks for."""
    extras = d.brief.extras
    if extras.splash_back > 0:
        _splash_back(d, extras.splash_back)
    if extras.switch_box != "none":
        _switch_box(d, SIDES[extras.switch_box])
    if extras.motor_plate != "none":
        add_motor_plate(d, SIDES[extras.motor_plate])


def machine_boxes(d: Draft) -> list[tuple[OutlineBox, Box]]:
    """Return the machine's outline boxes with where they stand."""
    x, y, z = machine_datum(d.brief, d.seat)
    return [
        (b, (x + b.at[0], y + b.at[1], z + b.at[2], x + b.at[0] + b.size[0], y + b.at[1] + b.size[1],
             z + b.at[2] + b.size[2]))
        for b in d.brief.machine.outline
    ]  # fmt: skip


def _no_rail(d: Draft, field: str, what: str, cure: str) -> None:
    d.findings.append(
        Finding(
            code="frame.extra_without_rail", field=field, severity=Severity.LOOK, nearest="none",
            message=f"The {d.layout} layout has no rail that {what} could stand on, so it is left out; {cure}.",
        )
    )  # fmt: skip


def _panelled(d: Draft, field: str, what: str, side: Side) -> None:
    d.findings.append(
        Finding(
            code="frame.extra_on_panel", field=field, severity=Severity.LOOK, nearest="none",
            message=(
                f"The sheet panel on the {side.name} leaves too little of the top rail's face for the {what}, so it is left "
                f"out; take a deeper top rail, smaller posts, or another brace there."
            ),
        )
    )  # fmt: skip


def _splash_back(d: Draft, height: float) -> None:
    side = SIDES["back"]
    rails = outer_rails(d, side, Role.TOP_RAIL)
    if not rails:
        _no_rail(d, "extras.splash_back", "a splash back", "fix one to the wall, or choose a layout with a top ring")
        return
    profile = post_profile(d, "splash back post left")
    if profile is None:
        return
    if not all(has_seat(d, side, box, profile) for _, box in rails):
        _panelled(d, "extras.splash_back", "splash back", side)
        return
    face = side.face(rails[0][1])
    plane = outer_plane(d, side, face)
    top = d.seat + height
    wide, _ = sizes(profile, side)
    places = []
    for rail, box in (min(rails, key=lambda r: r[1][0]), max(rails, key=lambda r: r[1][3])):
        places.append((rail, box, free_along(d, side, box, wide)))
    left, right = places[0][2][0], places[1][2][1]
    posts = []
    for name, (rail, box, _), at in (("left", places[0], left), ("right", places[1], right)):
        posts.append(
            add_post(d, f"splash back post {name}", side, rail, box, profile, along=at, top=top, plane=plane)
        )
    t = d.brief.extras.sheet
    # The sheet covers the stand from end to end; past the posts it stands on its own stiffness.
    ends = [box for _, box in rails] + [member_box(m) for m in d.members if m.role is Role.LEG]
    ends = [b for b in ends if b[5] > d.ring_top - FLUSH]
    first, last = max(min(b[0] for b in ends), left - PAST), min(max(b[3] for b in ends), right + PAST)
    low = _sheet_foot(d, plane - t, first, last)
    if top - low < 20.0:
        d.findings.append(
            Finding(
                code="frame.splash_back_low", field="extras.splash_back", member="splash back",
                message=(
                    f"A splash back {height:.0f} mm above the seat ends below the rim it stands on; make it at least "
                    f"{low + 20.0 - d.seat:.0f} mm high."
                ),
                allowed=f"at least {low + 20.0 - d.seat:.0f} mm", nearest=f"{low + 20.0 - d.seat:.0f} mm",
            )
        )  # fmt: skip
        top = low + 20.0
    middle = (low + top) / 2
    on = tuple(
        sheet_joint(d, post, f"splash back on {word}", middle, side)
        for post, word in zip(posts, ("left", "right"), strict=True)
    )
    d.plates.append(
        Plate(
            name="splash back", role=PlateRole.BACK, thickness=t, outline=rectangle(last - first, top - low),
            origin=((first + last) / 2, plane, middle), u_axis=(1.0, 0.0, 0.0), v_axis=_UP,
            density=find_steel(d.brief.steel.grade).density, on=on,
            note="screw it to the posts or stitch it, never a continuous weld; hem or dress every edge",
        )
    )  # fmt: skip
    for outline, box in machine_boxes(d):
        past = box[4] - (plane - t - _AIR)
        if past > 1e-9 and box[5] > low and box[2] < top and box[3] > first and box[0] < last:
            d.findings.append(_machine_past(d, outline.name or "machine", past))


def _sheet_foot(d: Draft, inner: float, left: float, right: float) -> float:
    """Return the level of the sheet's lower edge: on top of what reaches under it, tray lip or rail."""
    low = d.ring_top
    roles = (PlateRole.TOP, PlateRole.TRAY, PlateRole.HEAD)
    boxes = [plate_box(p) for p in d.plates if p.role in roles]
    boxes += [member_box(m) for m in d.members if m.role in (Role.BEARER, Role.TOP_RAIL)]
    for b in boxes:
        if b[4] > inner + 1e-6 and b[0] < right and b[3] > left and b[5] > low:
            low = b[5]
    return low


def _machine_past(d: Draft, name: str, past: float) -> Finding:
    grow = "top.overhang" if d.brief.top.kind != "none" else "frame.depth"
    have = d.brief.top.overhang if grow == "top.overhang" else d.brief.frame.depth
    need = have + (past if grow == "top.overhang" else 2 * past)
    words = "overhang of the top" if grow == "top.overhang" else "depth of the stand"
    return Finding(
        code="frame.splash_back_in_machine", field=grow, member="splash back",
        message=(
            f"The {name} reaches {past:.0f} mm too far back for the splash back, with {_AIR:g} mm of air; make the {words} at "
            f"least {need:.0f} mm, or move the machine forward."
        ),
        allowed=f"at least {need:.0f} mm", nearest=f"{need:.0f} mm",
    )  # fmt: skip


def _switch_box(d: Draft, side: Side) -> None:
    rails = outer_rails(d, side, Role.TOP_RAIL)
    if not rails:
        _no_rail(d, "extras.switch_box", "a switch box", "put the switch on the machine or the wall in front of it")
        return
    profile = post_profile(d, "switch box post")
    if profile is None:
        return
    rail, box = min(rails, key=lambda r: r[1][1])  # the front one
    if not has_seat(d, side, box, profile):
        _panelled(d, "extras.switch_box", "switch box", side)
        return
    wide, _ = sizes(profile, side)
    face = side.face(box)
    plane = outer_plane(d, side, face)
    first, last = free_along(d, side, box, wide)
    if last < first:
        _no_rail(d, "extras.switch_box", "a switch box", "put the switch on the machine or the wall in front of it")
        return
    base = max([d.seat, *(plate_box(p)[5] for p in d.plates if p.role is PlateRole.TRAY)]) + BOX_ABOVE
    post = add_post(d, "switch box post", side, rail, box, profile, along=first, top=base + BOX_HEIGHT, plane=plane)
    t = d.brief.extras.sheet
    middle = base + BOX_HEIGHT / 2
    # The plate looks at the operator and stands outwards from the post, clear of the machine.
    x = plane + side.sign * BOX_WIDTH / 2
    front = first - wide / 2
    on = sheet_joint(d, post, "switch box on post", middle, side)
    d.plates.append(
        Plate(
            name="switch box plate", role=PlateRole.BRACKET, thickness=t, outline=rectangle(BOX_WIDTH, BOX_HEIGHT),
            origin=(x, front, middle), u_axis=(1.0, 0.0, 0.0), v_axis=_UP,
            density=find_steel(d.brief.steel.grade).density, on=(on,),
            note="for the switch box: stop button within reach; wiring and earthing by someone qualified, to local rules",
        )
    )  # fmt: skip
    for k, up in enumerate((-1, 1)):
        d.holes.append(
            Hole(owner="switch box plate", centre=(x + side.sign * 20.0, front - t, middle + up * 55.0), axis=(0.0, 1.0, 0.0),
                 diameter=BOX_SCREW, depth=t, purpose=f"switch box {k + 1}")
        )  # fmt: skip
    for outline, b in machine_boxes(d):
        past = side.sign * (side.face(b) - plane)
        if past > 0 and b[1] < front + wide and b[4] > front - t and b[5] > d.ring_top and b[2] < base + BOX_HEIGHT:
            d.findings.append(
                Finding(
                    code="frame.switch_box_in_machine", field="extras.switch_box", severity=Severity.LOOK,
                    member="switch box plate", nearest="right" if side.name == "left" else "left",
                    message=(
                        f"The {outline.name or 'machine'} reaches {past:.0f} mm past the {side.name} end, where the switch "
                        f"box stands; put it on the other side, or make the stand longer."
                    ),
                )
            )  # fmt: skip

"""The stand itself: layout and sections, braces, top, what the machine is held by, feet and casters."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Annotated

from framecore.brief.kinds import (
    Angle,
    Choice,
    Count,
    Force,
    Length,
    Loads,
    Mass,
    MovingLoad,
    Number,
    Places,
    ProfileName,
    SheetThickness,
    ThreadName,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Sections:
    """Profiles by role."""

    legs: Annotated[str, ProfileName(label="Legs")] = "SHS 50x50x3"
    top_rails: Annotated[str, ProfileName(label="Top rails")] = "SHS 50x50x3"
    lower_rails: Annotated[str, ProfileName(label="Lower rails")] = "SHS 40x40x3"
    bearers: Annotated[str, ProfileName(label="Bearers")] = "SHS 50x50x3"
    slats: Annotated[str, ProfileName(label="Shelf slats")] = "SHS 30x30x3"
    stretchers: Annotated[str, ProfileName(label="Stretchers")] = "SHS 40x40x3"
    beam: Annotated[str, ProfileName(label="Box beam")] = "RHS 120x80x5"
    column: Annotated[str, ProfileName(label="Column")] = "SHS 100x100x4"
    base: Annotated[str, ProfileName(label="Base cross")] = "SHS 60x60x4"
    braces: Annotated[str, ProfileName(label="Braces")] = "SHS 30x30x3"
    posts: Annotated[str, ProfileName(label="Splash back and bracket posts")] = "SHS 30x30x3"


@dataclass(frozen=True, slots=True, kw_only=True)
class FrameBrief:
    """The stand's own measures. ``height`` is floor to seat; None means "from elbow"."""

    layout: Annotated[
        str,
        Choice(("four-post", "trestle", "pedestal pair", "column", "workbench", "tripod"), label="Layout"),
    ] = "four-post"
    length: Annotated[float, Length(low=250, high=4000, label="Length", help="Outside of the legs, left to right.")] = (
        1000.0
    )
    depth: Annotated[float, Length(low=250, high=2000, label="Depth", help="Outside of the legs, front to back.")] = 500.0
    height: Annotated[
        float | None,
        Length(low=200, high=1600, word="from elbow", label="Height", help="Floor to the seat of the machine."),
    ] = None
    legs: Annotated[
        str,
        Choice(
            ("rails between", "under the ring", "wrapped angle"),
            label="Legs",
            help="Tube legs with rails between them; tube legs under a whole ring; angle legs round the ring corners.",
        ),
    ] = "rails between"
    corners: Annotated[str, Choice(("mitred", "butted"), label="Ring corners")] = "mitred"
    lower_ring: Annotated[
        float, Length(low=0, high=1400, label="Lower ring", help="Floor to its upper face; 0: none.")
    ] = 200.0
    shelf: Annotated[str, Choice(("none", "sheet", "slats"), label="Shelf")] = "none"
    shelf_slats: Annotated[int, Count(low=1, high=30, label="Slats")] = 4
    shelf_thickness: Annotated[float, SheetThickness(low=0.5, high=30, label="Shelf sheet")] = 2.0
    bearers: Annotated[
        int, Count(low=0, high=12, label="Bearers without holes", help="Used when the machine has no hole pattern.")
    ] = 2
    bearers_at: Annotated[
        tuple[float, ...],
        Places(
            low=-2000, high=2000, label="Bearers fixed at",
            help="x of each bearer's middle from the middle of the ring; empty: bearers follow the machine's holes.",
        ),
    ] = ()
    bearer_place: Annotated[
        str, Choice(("between the rails", "over the ring"), label="Bearers lie")
    ] = "between the rails"
    middle_legs: Annotated[
        int, Count(low=0, high=4, label="Middle legs", help="Along each long side, besides the corner legs.")
    ] = 0
    toe_room: Annotated[
        float, Length(low=0, high=250, label="Toe room", help="How far the front lower rail stands back.")
    ] = 0.0
    splay: Annotated[
        float, Angle(low=0, high=25, label="Splay of the legs (deg)", help="Trestle and tripod: from upright.")
    ] = 0.0
    joined_by: Annotated[str, Choice(("stretchers", "box beam"), label="End frames joined by")] = "stretchers"
    pedestal: Annotated[
        float, Length(low=200, high=1500, label="Pedestal length", help="Of each pedestal, along the machine.")
    ] = 350.0
    pedestals: Annotated[
        str, Choice(("frames", "cabinets"), label="Pedestals are", help="Open frames, or closed with sheet on three sides.")
    ] = "frames"
    base: Annotated[str, Choice(("plate", "cross"), label="Column stands on a")] = "cross"
    base_thickness: Annotated[float, Length(low=6, high=60, label="Base and head plate thickness")] = 15.0
    overhang_left: Annotated[float, Length(low=0, high=600, label="Top past the legs, left")] = 0.0
    overhang_right: Annotated[float, Length(low=0, high=600, label="Top past the legs, right")] = 0.0
    overhang_front: Annotated[float, Length(low=0, high=300, label="Top past the legs, front")] = 0.0
    vice_corner: Annotated[
        str, Choice(("none", "front left", "front right"), label="Vice corner", help="Stiffened for a bench vice.")
    ] = "none"
    stored: Annotated[
        tuple[MovingLoad, ...],
        Loads(label="Drawers and stored loads", help="In the stand's axes; a drawer travels from shut to open."),
    ] = ()
    sections: Sections = field(default_factory=Sections)


SIDE_BRACES = ("none", "diagonal", "crossed", "gussets", "sheet panel")


@dataclass(frozen=True, slots=True, kw_only=True)
class Braces:
    """What stiffens each side of the stand."""

    front: Annotated[str, Choice(SIDE_BRACES, label="Front")] = "none"
    back: Annotated[str, Choice(SIDE_BRACES, label="Back")] = "none"
    left: Annotated[str, Choice(SIDE_BRACES, label="Left")] = "none"
    right: Annotated[str, Choice(SIDE_BRACES, label="Right")] = "none"
    gusset: Annotated[float, Length(low=40, high=400, label="Gusset side")] = 100.0
    gusset_thickness: Annotated[float, SheetThickness(low=2, high=15, label="Gusset plate")] = 5.0
    panel_thickness: Annotated[float, SheetThickness(low=0.8, high=10, label="Panel sheet")] = 1.5
    panel_fixing: Annotated[str, Choice(("welded", "bolted"), label="Panels are")] = "bolted"
    panel_pitch: Annotated[float, Length(low=30, high=500, label="Pitch of panel screws or stitches")] = 150.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Extras:
    """What hangs on the stand."""

    splash_back: Annotated[
        float, Length(low=0, high=900, label="Splash back", help="Its height above the seat; 0: none.")
    ] = 0.0
    backstop: Annotated[
        float, Length(low=0, high=200, label="Backstop", help="Strip along the back of a bench top; 0: none.")
    ] = 0.0
    sheet: Annotated[float, SheetThickness(low=0.5, high=5, label="Splash back and bracket sheet")] = 1.5
    switch_box: Annotated[str, Choice(("none", "left", "right"), label="Bracket for a switch box")] = "none"
    motor_plate: Annotated[str, Choice(("none", "back", "left", "right"), label="Motor plate")] = "none"
    motor_mass: Annotated[float, Mass(low=0, high=200, label="Motor on the plate")] = 15.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Casters:
    """Wheels that are used only for moving; the feet carry the machine at work."""

    kind: Annotated[
        str,
        Choice(
            ("none", "four, lowered to roll", "two, tilt to roll"), label="Casters",
            help="Four beside the feet, screwed down to lift the stand; or two at one end, which touch when it is tilted.",
        ),
    ] = "none"
    end: Annotated[str, Choice(("left", "right", "back"), label="Two casters at the")] = "left"
    wheel: Annotated[float, Length(low=30, high=250, label="Wheel diameter")] = 75.0
    rating: Annotated[float, Mass(low=5, high=2000, label="Rating of one caster")] = 80.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Top:
    """What covers the top ring."""

    kind: Annotated[str, Choice(("none", "sheet", "wood", "tray"), label="Top")] = "none"
    thickness: Annotated[float, SheetThickness(low=0.5, high=100, label="Thickness")] = 3.0
    overhang: Annotated[float, Length(low=0, high=400, label="Overhang")] = 0.0
    lip: Annotated[float, Length(low=5, high=150, label="Tray lip", help="Height of the folded rim.")] = 40.0
    raised: Annotated[
        float,
        Length(
            low=0, high=200, label="Machine above the tray",
            help="Blocks between tray and machine, so that a hand and a brush pass; part of the seat's height.",
        ),
    ] = 30.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Mounting:
    """How the machine sits on the seat."""

    jack: Annotated[float, Length(low=0, high=150, label="Jacking gap", help="Seat to the machine's feet.")] = 0.0
    hole_class: Annotated[str, Choice(("fine", "medium", "coarse"), label="Clearance holes")] = "medium"
    seating: Annotated[
        str,
        Choice(
            ("bolted down", "jacking screws", "hollow jacking screws", "shims"), label="Machine is set on",
            help="Bolted straight down; on screws in blocks beside or round each bolt; on shims.",
        ),
    ] = "bolted down"
    screw: Annotated[str, ThreadName(label="Jacking screw")] = "M16"
    block: Annotated[float, Length(low=12, high=150, label="Jacking block", help="Side of the square block.")] = 50.0
    block_height: Annotated[float, Length(low=8, high=120, label="Jacking block height")] = 30.0
    bolt_class: Annotated[str, Choice(
            ("4.6", "5.6", "8.8", "10.9", "SAE 2", "SAE 5", "SAE 8"), label="Strength class of the bolts",
            help="Metric bolts by ISO 898-1, inch bolts by their SAE grade; the nearest of the other system stands for it.",
        )] = "8.8"
    foot_thickness: Annotated[
        float,
        Length(
            low=3, high=100, zero=True, label="Machine's foot thickness",
            help="Under the bolt's head: sets the length of the bolts. 0: not measured, twice the bolt is taken.",
        ),
    ] = 0.0
    method: Annotated[
        str,
        Choice(
            ("measure and drill", "punch through the template", "drill through the machine", "weld bearers last"),
            label="Holes are made by", help="How the machine's holes get onto the stand.",
        ),
    ] = "measure and drill"
    marking: Annotated[
        float, Length(low=0.02, high=5, label="Holes land within", help="Nineteen of twenty holes, either way.")
    ] = 0.5
    pattern_error: Annotated[
        float, Length(low=0, high=5, label="Machine's holes lie within", help="Of the pattern given, either way.")
    ] = 0.3
    slot: Annotated[
        float,
        Length(
            low=0, high=30, label="Slots longer than round by",
            help="Between the end centres of the machine's slotted holes; 0: all holes round.",
        ),
    ] = 0.0
    slot_way: Annotated[
        str,
        Choice(
            ("along the machine", "across the machine", "towards hole 1"), label="Slots run",
            help="Towards hole 1: each slot points at hole 1, which itself stays round.",
        ),
    ] = "along the machine"
    round_holes: Annotated[
        str, Choice(("hole 1", "none"), label="Stays round", help="A round hole places the machine; the others let it fit.")
    ] = "hole 1"


@dataclass(frozen=True, slots=True, kw_only=True)
class Feet:
    """Levelling feet and the pads under the legs."""

    thread: Annotated[str, ThreadName(label="Foot stud")] = "M12"
    height: Annotated[
        float, Length(low=10, high=200, label="Foot height", help="Floor to the underside of the pad, at mid travel.")
    ] = 40.0
    base: Annotated[float, Length(low=15, high=200, label="Foot base diameter")] = 50.0
    base_height: Annotated[float, Length(low=3, high=60, label="Foot base thickness")] = 15.0
    rating: Annotated[float, Force(low=100, high=100000, label="Foot rating")] = 4000.0
    pad: Annotated[float, Length(low=20, high=300, label="Pad", help="Side of the square plate under a leg.")] = 60.0
    pad_thickness: Annotated[float, Length(low=3, high=40, label="Pad thickness")] = 12.0
    travel: Annotated[
        float, Length(low=0, high=150, label="Travel up and down", help="Each way from the foot height given.")
    ] = 15.0
    tilt: Annotated[float, Angle(low=0, high=30, label="Base may tilt (deg)")] = 10.0
    set: Annotated[
        str,
        Choice(
            ("levelled", "as set down"), label="Feet are",
            help="Levelled: turned until the stand is level and all bear; or left at mid travel on the floor as it is.",
        ),
    ] = "levelled"
    friction: Annotated[
        float, Number(low=0, high=1.5, unit="1", label="Friction of foot on floor")
    ] = 0.3

"""The brief as values: what the maker tells us, every length already in mm.

Each field is written once, here: its type carries the label, help, range and default rule that the reader,
the inputs of the window and the generated reference of the brief all use.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Annotated

from framecore.brief.kinds import (
    Angle,
    Choice,
    Count,
    Force,
    HolePattern,
    Length,
    Lengths,
    Loads,
    Mass,
    MovingLoad,
    Number,
    Outline,
    OutlineBox,
    Places,
    Point,
    Price,
    ProfileName,
    Rack,
    RackItem,
    SheetThickness,
    Sold,
    SoldLength,
    Speeds,
    SteelName,
    Text,
    ThreadName,
    Torque,
)
from framecore.brief.sheet_kinds import Sheets, SoldSheet

KINDS = ("lathe", "mill", "drill press", "saw", "grinder", "surface plate", "workbench")


@dataclass(frozen=True, slots=True, kw_only=True)
class Machine:
    """The machine in its own axes.

    x runs along it to the operator's right, y away from the operator, z up from the face of its feet;
    x = y = 0 at the datum that the hole pattern is measured from.
    """

    kind: Annotated[str, Choice(KINDS, label="Kind", help="What stands on it; sets the typical values.")] = "lathe"
    name: Annotated[str, Text(label="Name")] = ""
    mass: Annotated[float, Mass(low=0, high=3000, label="Mass", help="From the manual, with chuck or vice.")] = 120.0
    centre_of_mass: Annotated[
        tuple[float, float, float], Point(label="Centre of mass", help="x, y from the datum, z above its feet.")
    ] = (0.0, 0.0, 150.0)
    work_line: Annotated[
        float, Length(low=0, high=1500, label="Work line", help="Spindle axis, table or rest above its feet.")
    ] = 300.0
    holes: Annotated[
        tuple[tuple[float, float], ...], HolePattern(label="Mounting holes", help="x, y of each from the datum.")
    ] = ()
    bolt: Annotated[str, ThreadName(label="Holding-down bolt")] = "M10"
    at: Annotated[
        tuple[float, float], Point(label="Pattern centre on the stand", help="x, y from the middle of the ring.", count=2)
    ] = (0.0, 0.0)
    outline: Annotated[tuple[OutlineBox, ...], Outline(label="Shape to draw")] = ()
    cutting_force: Annotated[float, Force(low=0, high=20000, label="Cutting force")] = 500.0
    cutting_torque: Annotated[float, Torque(low=0, high=2000, label="Cutting torque (N m)")] = 30.0
    bed_i: Annotated[
        float, Number(low=0, high=1e10, unit="mm4", label="Bed second moment", help="0: assumed from the kind.")
    ] = 0.0
    bed_j: Annotated[
        float, Number(low=0, high=1e10, unit="mm4", label="Bed torsion constant", help="0: assumed from the kind.")
    ] = 0.0
    speeds: Annotated[
        tuple[float, ...], Speeds(label="Spindle speeds (rpm)", help="What it runs at; a range as its ends and steps between.")
    ] = ()
    motor_speed: Annotated[
        float, Number(low=0, high=30000, unit="rpm", label="Motor speed", help="From its plate; 0: not given.")
    ] = 0.0
    moving: Annotated[
        tuple[MovingLoad, ...],
        Loads(
            label="Moving parts",
            help="Parts of the machine's mass: where they are in the centre of mass given, and how far they travel.",
        ),
    ] = ()
    fitted: Annotated[
        tuple[MovingLoad, ...], Loads(label="Fitted on it", help="Vice, chuck or work put on besides its mass.")
    ] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Operator:
    """Who works at it. A measured elbow height wins over the stature. 0 means not given."""

    elbow: Annotated[
        float, Length(low=600, high=1500, zero=True, label="Elbow height", help="Floor to the bent elbow, barefoot.")
    ] = 0.0
    stature: Annotated[float, Length(low=1200, high=2300, zero=True, label="Stature")] = 1750.0
    shoes: Annotated[float, Length(low=0, high=100, label="Shoe sole")] = 25.0
    work: Annotated[
        str,
        Choice(("by machine", "precision", "turning", "light", "heavy"), label="Kind of work"),
    ] = "by machine"
    second_elbow: Annotated[float, Length(low=600, high=1500, zero=True, label="Second user's elbow")] = 0.0
    second_stature: Annotated[float, Length(low=1200, high=2300, zero=True, label="Second user's stature")] = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Floor:
    """The floor it stands on."""

    kind: Annotated[str, Choice(("concrete", "wood"), label="Floor")] = "concrete"
    slope: Annotated[float, Number(low=0, high=60, unit="mm/m", label="Fall of the floor")] = 10.0
    falls_to: Annotated[str, Choice(("front", "back", "left", "right"), label="Falls towards")] = "front"
    flatness: Annotated[float, Length(low=0, high=40, label="Unevenness under a straightedge")] = 3.0
    heights: Annotated[
        tuple[float, ...],
        Lengths(
            low=-100, high=100, label="Measured floor heights",
            help="Under each foot, front left first, as the feet are listed; empty: slope and unevenness are taken.",
        ),
    ] = ()
    slab: Annotated[float, Length(low=0, high=1000, label="Slab thickness", help="0: not known.")] = 100.0
    joist_span: Annotated[float, Length(low=0, high=10000, label="Joist span", help="Wooden floor; 0: not known.")] = 0.0
    area_load: Annotated[
        float,
        Number(
            low=0, high=50, unit="kN/m2", label="Floor's design load",
            help="What the floor is made for; 0: the usual one of its kind.",
        ),
    ] = 0.0
    anchor: Annotated[str, Choice(("none", "M8", "M10", "M12", "M16"), label="Anchor bolts")] = "none"


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
    bolt_class: Annotated[str, Choice(("4.6", "5.6", "8.8", "10.9"), label="Strength class of the bolts")] = "8.8"
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


@dataclass(frozen=True, slots=True, kw_only=True)
class SteelBrief:
    """What is sold near you and what it costs."""

    grade: Annotated[str, SteelName(label="Grade")] = "S235"
    price_kg: Annotated[float, Price(low=0, high=1000, label="Price per kg")] = 2.2
    sheet_price_kg: Annotated[float, Price(low=0, high=1000, label="Sheet price per kg")] = 2.5
    currency: Annotated[str, Text(label="Currency")] = "EUR"
    sold: Annotated[
        tuple[SoldLength, ...], Sold(label="Lengths sold", help="Length, price; for one profile or for all.")
    ] = ()
    rack: Annotated[tuple[RackItem, ...], Rack(label="Rack", help="Offcuts on hand.")] = ()
    kerf: Annotated[float, Length(low=0, high=10, label="Kerf")] = 1.6
    trim: Annotated[float, Length(low=0, high=100, label="Trim at a mill end")] = 5.0
    plates_from: Annotated[
        str,
        Choice(
            ("cut to size", "whole sheets"), label="Plates come",
            help="Cut to size by the merchant and paid by mass, or as whole sheets that you cut yourself.",
        ),
    ] = "cut to size"
    sheets_up_to: Annotated[
        float,
        Length(
            low=0, high=100, label="Whole sheets up to",
            help="Thicker plates come cut to size even so, unless a sheet as thick is among those sold.",
        ),
    ] = 8.0
    sheets: Annotated[
        tuple[SoldSheet, ...],
        Sheets(label="Sheets sold", help="Length, width, thickness (0: all), price. Empty: the usual sizes."),
    ] = ()
    sheets_cut: Annotated[
        str,
        Choice(
            ("straight cuts", "any shape"), label="Sheets are cut by",
            help="Straight cuts from edge to edge (shear, saw), or any shape (torch, plasma, laser, jigsaw).",
        ),
    ] = "straight cuts"
    sheet_gap: Annotated[
        float, Length(low=0, high=50, label="Gap between plates on a sheet", help="At least the width of the cut.")
    ] = 5.0
    sheet_edge: Annotated[float, Length(low=0, high=100, label="Edge left on a sheet")] = 10.0
    cut_price_kg: Annotated[
        float,
        Price(
            low=0, high=1000, label="Price per kg cut to length",
            help="What the merchant asks per kg when he cuts every piece; 0: not asked.",
        ),
    ] = 0.0
    cut_fee: Annotated[float, Price(low=0, high=1000, label="Fee per cut", help="What the merchant asks for each cut.")] = 0.0
    carry: Annotated[
        float,
        Length(
            low=300, high=30000, zero=True, label="Longest you can carry",
            help="What fits the car; longer bars are cut at the merchant. 0: no limit.",
        ),
    ] = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Welding:
    """How it is welded."""

    process: Annotated[
        str, Choice(("solid wire and gas", "self-shielded wire", "stick", "TIG"), label="Process")
    ] = "solid wire and gas"
    leg: Annotated[float, Length(low=1.5, high=12, label="Fillet leg")] = 3.0
    filler_fu: Annotated[
        float, Number(low=350, high=900, unit="MPa", label="Filler tensile strength", help="E70 and G42 wires: 480 to 500.")
    ] = 482.0
    symbols: Annotated[
        str, Choice(("ISO 2553", "AWS A2.4"), label="Weld symbols by", help="How the weld map writes a weld.")
    ] = "ISO 2553"


@dataclass(frozen=True, slots=True, kw_only=True)
class Finish:
    """Paint."""

    paint: Annotated[str, Choice(("none", "brush", "spray"), label="Paint")] = "brush"
    primer_coats: Annotated[int, Count(low=0, high=4, label="Coats of primer")] = 1
    primer_film: Annotated[
        float, Number(low=5, high=500, unit="µm", label="Primer, dry film", help="Of one coat; the tin says.")
    ] = 50.0
    primer_solids: Annotated[
        float, Number(low=0.05, high=1, unit="1", label="Primer, volume solids", help="Share that stays; data sheet.")
    ] = 0.5
    top_coats: Annotated[int, Count(low=0, high=6, label="Coats of paint")] = 2
    top_film: Annotated[
        float, Number(low=5, high=500, unit="µm", label="Paint, dry film", help="Of one coat; the tin says.")
    ] = 40.0
    top_solids: Annotated[
        float, Number(low=0.05, high=1, unit="1", label="Paint, volume solids", help="Share that stays; data sheet.")
    ] = 0.45


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """What counts as good."""

    code: Annotated[
        str, Choice(("EN 1993-1-1", "AISC 360-16"), label="Member and weld checks by")
    ] = "EN 1993-1-1"
    push: Annotated[float, Force(low=0, high=5000, label="Push at the work line")] = 300.0
    sway: Annotated[float, Number(low=0, high=1e6, unit="N/mm", label="Least sway stiffness")] = 200.0
    twist: Annotated[float, Number(low=0, high=1e7, unit="N m/deg", label="Least twist stiffness")] = 500.0
    deflection: Annotated[float, Length(low=0.001, high=50, label="Most sag under a mount")] = 0.2
    frequency: Annotated[float, Number(low=0, high=500, unit="Hz", label="Least first frequency")] = 15.0
    bed_twist: Annotated[
        float, Number(low=0.001, high=20, unit="mm/m", label="Most bed twist", help="Of the machine's bed, by its stand.")
    ] = 0.05
    jack_share: Annotated[
        float, Number(low=0, high=1, unit="1", label="Least share of a jack turn that reaches the bed")
    ] = 0.5
    speed_band: Annotated[
        float, Number(low=0, high=0.6, unit="1", label="Band about running speeds to keep clear")
    ] = 0.2
    yield_margin: Annotated[float, Number(low=1, high=10, unit="1", label="Margin against yield")] = 1.67
    impact: Annotated[float, Number(low=1, high=5, unit="1", label="Impact factor at setting down")] = 2.0
    tipping_force: Annotated[float, Force(low=0, high=5000, label="Least tipping force")] = 250.0
    tipping_angle: Annotated[float, Angle(low=0, high=60, label="Least tipping angle (deg)")] = 10.0


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetBrief:
    """The drawing sheet."""

    paper: Annotated[str, Choice(("A3", "A4", "Letter", "Tabloid"), label="Paper")] = "A3"
    projection: Annotated[str, Choice(("first angle", "third angle"), label="Projection")] = "first angle"
    number: Annotated[str, Text(label="Drawing number")] = "1"
    owner: Annotated[str, Text(label="Owner")] = ""
    drawn_by: Annotated[str, Text(label="Drawn by")] = ""
    approved_by: Annotated[str, Text(label="Approved by")] = ""
    date: Annotated[str, Text(label="Date of issue")] = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Brief:
    """Everything the maker told us, resolved.

    ``assumed``: dotted paths of the keys that were not given and took their typical value.
    ``lines``: dotted path -> 1-based line in the file, where known. ``typed``: dotted path -> text as typed.
    """

    title: Annotated[str, Text(label="Title")] = "Stand"
    units: Annotated[str, Choice(("metric", "inch", "inch decimal"), label="Units")] = "metric"
    machine: Machine = field(default_factory=Machine)
    operator: Operator = field(default_factory=Operator)
    floor: Floor = field(default_factory=Floor)
    frame: FrameBrief = field(default_factory=FrameBrief)
    braces: Braces = field(default_factory=Braces)
    extras: Extras = field(default_factory=Extras)
    casters: Casters = field(default_factory=Casters)
    top: Top = field(default_factory=Top)
    mounting: Mounting = field(default_factory=Mounting)
    feet: Feet = field(default_factory=Feet)
    steel: SteelBrief = field(default_factory=SteelBrief)
    welding: Welding = field(default_factory=Welding)
    finish: Finish = field(default_factory=Finish)
    limits: Limits = field(default_factory=Limits)
    sheet: SheetBrief = field(default_factory=SheetBrief)
    assumed: frozenset[str] = field(default=frozenset(), compare=False)

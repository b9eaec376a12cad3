"""What stands on the stand, who works at it and what it stands on."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from framecore.brief.kinds import (
    Choice,
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
    Point,
    Speeds,
    Text,
    ThreadName,
    Torque,
)

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
        float, Number(low=1, high=1e10, zero=True, unit="mm4", label="Bed second moment", help="0: assumed from the kind.")
    ] = 0.0
    bed_j: Annotated[
        float, Number(low=1, high=1e10, zero=True, unit="mm4", label="Bed torsion constant", help="0: assumed from the kind.")
    ] = 0.0
    speeds: Annotated[
        tuple[float, ...], Speeds(label="Spindle speeds (rpm)", help="What it runs at; a range as its ends and steps between.")
    ] = ()
    motor_speed: Annotated[
        float, Number(low=1, high=30000, zero=True, unit="rpm", label="Motor speed", help="From its plate; 0: not given.")
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
    joist_span: Annotated[
        float, Length(low=1, high=10000, zero=True, label="Joist span", help="Wooden floor; 0: not known.")
    ] = 0.0
    area_load: Annotated[
        float,
        Number(
            low=0.1, high=50, zero=True, unit="kN/m2", label="Floor's design load",
            help="What the floor is made for; 0: the usual one of its kind.",
        ),
    ] = 0.0
    anchor: Annotated[str, Choice(("none", "M8", "M10", "M12", "M16"), label="Anchor bolts")] = "none"

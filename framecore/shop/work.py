"""What the workshop is told beyond saw and merchant: assemblies, welds, shrinkage, steps, finish and lifting.

All of it follows from frame, solids and shop; it is worked out when asked for (``framecore.stand.work_of``), not while
a hand drags. Points are in the stand's axes, mm.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from framecore.frame.model import Vector

if TYPE_CHECKING:
    from framecore.shop.finish import PaintedArea


@dataclass(frozen=True, slots=True, kw_only=True)
class Weld:
    """One seam, or several alike of one joint, as the weld map names them.

    Attributes
    ----------
    mark : "W1" ..., alike welds of alike joints share a mark
    joint : name of the frame's joint, or of the plate that is welded on
    parts : the run (what is welded onto) first, then the branch
    kind : "fillet", "flare-bevel", "butt", "corner", "edge", "plug"
    leg : of a fillet, mm (0 for others); ``throat`` effective, mm
    runs : polylines of its roots, each from where the arc starts to where it ends
    length : of all runs, mm
    pitch, stitch : of an intermittent weld, mm (0: continuous)
    faces : unit normals into the open side of the two faces it joins, per run
    flush : dressed flat afterwards; ``why`` says for what
    under : part of a later assembly that comes to lie on it, "" where none does: it is dressed before that
    assembly : name of the assembly in which it is made
    order : its place in the order of welding within the assembly, from 1
    tacks : points where it is tacked
    metal : laid in all of it, mm3
    """

    mark: str
    joint: str
    parts: tuple[str, str]
    kind: str
    leg: float
    throat: float
    runs: tuple[tuple[Vector, ...], ...]
    length: float
    faces: tuple[tuple[Vector, Vector], ...]
    pitch: float = 0.0
    stitch: float = 0.0
    flush: bool = False
    why: str = ""
    assembly: str = ""
    order: int = 0
    tacks: tuple[Vector, ...] = ()
    metal: float = 0.0
    under: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Check:
    """A measure to take on the floor: between two points of an assembly.

    ``kind`` "over all", "diagonal", "corner height", "clear", "centres"; ``value`` mm as it should read,
    ``tolerance`` mm either way; ``pair`` equal for measures that must agree with each other (two diagonals).
    """

    kind: str
    a: Vector
    b: Vector
    value: float
    tolerance: float
    text: str
    pair: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Assembly:
    """What is tacked and welded as one before it goes into the next.

    Attributes
    ----------
    name : "top ring", "end frame left", "bearers", "stand"
    members, plates : what is new in it; ``takes`` names of assemblies made before that it is put together from
    flat : unit normal of the plane in which it is laid out, None where it stands up in space
    checks : measures to take, in order
    mass : kg, of all of it; ``size`` its box as it is handled, mm
    text : how it is laid out and held, one or two sentences
    """

    name: str
    members: tuple[str, ...]
    plates: tuple[str, ...]
    takes: tuple[str, ...]
    flat: Vector | None
    checks: tuple[Check, ...]
    mass: float
    size: tuple[float, float, float]
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Chain:
    """A row of pieces and welds along one line, and what welding takes off its length.

    ``length`` over all, the legs that it stands between with it, mm; ``low`` .. ``high`` mm shorter; ``leave`` mm that
    its pieces are sawn longer, together; ``left`` mm that it may then be off either way.
    """

    name: str
    members: tuple[str, ...]
    welds: int
    length: float
    low: float
    high: float
    leave: float
    tolerance: float
    text: str
    left: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One step from saw to level: what is done, what is measured then, within what, and the caution of the place."""

    number: int
    stage: str  # "saw", "fit", "weld", "drill", "finish", "set up", "level"
    title: str
    text: str
    measure: str = ""
    tolerance: str = ""
    caution: str = ""
    assembly: str = ""
    pieces: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Coat:
    """One coat: litres to buy for it and what it covers."""

    name: str
    litres: float
    film_um: float
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FinishPlan:
    """Paint from bare steel: what is degreased, masked and coated; areas in m2."""

    area: float
    contacts: float
    masked: tuple[tuple[str, float], ...]
    coats: tuple[Coat, ...]
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Lift:
    """One thing to be lifted: mass in kg, how many people or what hoist, why.

    ``door`` clear width it needs and ``door_high`` how high it stands in it, ``hook`` of a hoist over the floor, mm; 0 where
    that is not asked or not known.
    """

    name: str
    mass: float
    people: int  # 0: a hoist
    text: str
    source: str
    door: float = 0.0
    door_high: float = 0.0
    hook: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Filler:
    """Weld metal of all welds: deposited and bought mass in kg, gas in litres, arc and whole time in hours."""

    deposit: float
    bought: float
    gas_litres: float
    arc_hours: float
    hours: tuple[float, float]
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Square:
    """How far a frame may lean: ``lean`` mm in a metre from unequal shrinkage, and the class it then keeps.

    ``quality`` is the best class of ISO 13920 that holds, "" where none does; ``allowed`` mm in a metre of class B;
    ``diagonal`` by how much the diagonals then differ, mm.
    """

    name: str
    lean: float
    allowed: float
    quality: str
    text: str
    diagonal: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Work:
    """Everything the workshop is told beside saw and merchant.

    ``painted`` where the painted area comes from; ``notes`` sentences on what does not agree.
    """

    assemblies: tuple[Assembly, ...]
    welds: tuple[Weld, ...]
    filler: Filler
    chains: tuple[Chain, ...]
    squares: tuple[Square, ...]
    steps: tuple[Step, ...]
    finish: FinishPlan
    lifts: tuple[Lift, ...]
    painted: PaintedArea | None = None
    notes: tuple[str, ...] = ()

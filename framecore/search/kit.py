"""A stand as one row of numbers: the analysis model, what is sawn, and what plates cost; see ``rows`` for many of them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from types import SimpleNamespace
from typing import cast

import numpy as np
from numpy.typing import NDArray

from framecore.brief.model import Brief
from framecore.catalogue import steel as find_steel
from framecore.catalogue.model import Profile
from framecore.errors import Finding, LayoutError, Severity
from framecore.fem import element
from framecore.fem.assembled import Assembled
from framecore.fem.model import FrameModel
from framecore.frame import build_frame
from framecore.frame.model import Frame
from framecore.height import working_height
from framecore.search.space import ROLE_KEYS, SECTIONS
from framecore.shop.allowance import end_pulls, longer
from framecore.shop.filler import section
from framecore.shop.model import ShopPlate
from framecore.shop.nests import on_sheets, sheets_for
from framecore.shop.pieces import shop_pieces, shop_plates
from framecore.solids import SolidsBuilder
from framecore.strength._bed import RigidSeat, _on_rigid, _outer, bed_probe
from framecore.strength._model import StandModel, build_model

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]
# Name -> width of one row; the numbers of a stand in the order in which they stand side by side.
FIELDS = (
    "nodes", "offsets", "y", "section", "shear_centre", "density", "reach", "mass", "mass_offset",
    "length", "longer", "volume", "seams", "rest", "plates", "rigid",
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Shape:
    """What stands of one family share.

    ``elements``, ``member``, ``springs`` (s,), ``stiffness`` (s, 6), ``mass_nodes``, ``ring`` node numbers as in the
    analysis model; ``e``, ``g`` (m,); ``bed`` its two end nodes, ``jacks`` element rows of its mounts that count, empty
    without a bed; ``role_key`` per member the key of its profile; ``plate_rate`` per kind of plate its price a mm2, at its
    least where whole sheets are bought; ``widths`` of the fields of a row.
    """

    elements: Ints
    member: Ints
    springs: Ints
    stiffness: Floats
    mass_nodes: Ints
    ring: Ints
    e: Floats
    g: Floats
    bed: tuple[int, ...]
    jacks: Ints
    role_key: tuple[str, ...]
    plate_rate: Floats
    widths: tuple[int, ...]

    def same(self, other: Shape) -> bool:
        """Whether two stands are of one family."""
        arrays = ("elements", "member", "springs", "mass_nodes", "ring", "jacks")
        return (
            (self.bed, self.role_key, self.widths) == (other.bed, other.role_key, other.widths)
            and all(np.array_equal(getattr(self, a), getattr(other, a)) for a in arrays)
            and np.allclose(self.plate_rate, other.plate_rate)
        )

    def split(self, rows: Floats) -> dict[str, Floats]:
        """Return the fields of rows (k, d) by name, each (k, width)."""
        ends = np.cumsum(self.widths)
        return {f: rows[:, e - w : e] for f, w, e in zip(FIELDS, self.widths, ends, strict=True)}


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Built:
    """One stand built whole: its ``row`` (d,), what it shares with its family, its model and findings."""

    row: Floats
    shape: Shape
    model: FrameModel
    findings: tuple[Finding, ...]
    frame: Frame


class Builder:
    """Builds single stands; keeps the index work of shapes."""

    def __init__(self) -> None:
        self._solids = SolidsBuilder()
        self._rigid: RigidSeat | None = None

    def build(self, brief: Brief, *, loose: bool = False) -> Built:
        """Build one stand as a row; a ``loose`` one may have findings that stop it, another change may cure them.

        Raises
        ------
        LayoutError
            The frame cannot be built.
        """
        frame = build_frame(brief, working_height(brief).height)
        stops = tuple(f for f in frame.findings if f.severity is Severity.STOP)
        if stops and not loose:
            raise LayoutError(stops)
        solids = self._solids.build(frame, find_steel(brief.steel.grade).density)
        stand = build_model(brief, frame, dict(zip(solids.layout.parts, solids.masses.tolist(), strict=True)))
        count = len(frame.members)
        _, marks = shop_pieces(frame, solids)
        more = {n: longer(p) for n, p in end_pulls(brief, frame).items()}
        plates = [p for p in shop_plates(frame, solids, marks) if p.steel]
        return _row(
            brief, frame, stand, solids.masses[:count], solids.masses[count:],
            [(p.length, p.width, _rate(brief, p) * len(p.names)) for p in plates], self._seat(frame, stand),
            [more.get(m.name, 0.0) for m in frame.members],
        )  # fmt: skip

    def _seat(self, frame: Frame, stand: StandModel) -> Seat | None:
        """The machine's bed on mounts that give nothing: what its share is measured by."""
        model = stand.model
        transform = element.transform(model)
        bare = SimpleNamespace(model=model, transform=transform, local=element.stiffness(model) @ transform)
        built = cast(Assembled, bare)  # neither factor nor numbering is asked for
        probe = bed_probe(built, frame, stand.map)
        if probe is None:
            return None
        rows = probe.mounts
        k = (model.per_element("e") * model.per_element("area") / model.length)[rows]
        self._rigid = _on_rigid(built, probe, transform[rows, 6] - transform[rows, 0], k, self._rigid)
        outer = np.flatnonzero(_outer(frame))
        return Seat(ends=probe.ends, jacks=rows[outer], rigid=self._rigid.twist[outer])


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Seat:
    """End nodes of the bed, element rows of its outer mounts, and the twist each gives it on a rigid stand, rad/mm."""

    ends: tuple[int, int]
    jacks: Ints
    rigid: Floats


def _row(
    brief: Brief, frame: Frame, stand: StandModel, masses: Floats, rest: Floats,
    plates: Sequence[tuple[float, float, float]], seat: Seat | None, longer: Sequence[float],
) -> Built:  # fmt: skip
    model, member = stand.model, stand.map.element_member.astype(np.intp)
    profiles = [m.profile for m in frame.members]
    area = np.array([p.properties.area for p in profiles])
    numbers = ("area", "i_y", "i_z", "j", "shear_y", "shear_z")
    section = np.column_stack([model.per_element(n) for n in numbers])
    jacks = seat.jacks if seat is not None else np.zeros(0, np.intp)
    sizes = np.array([p[:2] for p in plates]).reshape(-1, 2)
    values = {
        "nodes": model.nodes, "offsets": model.end_offsets, "y": model.axes[:, 1], "section": section,
        "shear_centre": model.shear_centres, "density": np.where(member >= 0, 0.0, model.per_element("density")),
        "reach": _reach(member, stand.map.stations, len(profiles)), "mass": model.mass, "mass_offset": model.mass_offset,
        "length": [m.length for m in frame.members], "longer": longer, "volume": masses / area,
        "seams": [_fillets(brief, p) for p in profiles], "rest": rest, "plates": sizes,
        "rigid": seat.rigid if seat is not None else (),
    }  # fmt: skip
    flat = [np.asarray(values[f], float).ravel() for f in FIELDS]
    shape = Shape(
        elements=model.elements, member=member, springs=model.spring_nodes, stiffness=model.stiffness,
        mass_nodes=model.mass_nodes, ring=stand.ring_nodes.astype(np.intp),
        e=model.per_element("e"), g=model.per_element("g"), bed=seat.ends if seat is not None else (), jacks=jacks,
        role_key=tuple(SECTIONS + ROLE_KEYS[m.role] if m.role in ROLE_KEYS else "" for m in frame.members),
        plate_rate=np.array([p[2] for p in plates]), widths=tuple(len(v) for v in flat),
    )  # fmt: skip
    return Built(row=np.concatenate(flat), shape=shape, model=model, findings=frame.findings, frame=frame)


def _rate(brief: Brief, plate: ShopPlate) -> float:
    """Price of one plate a mm2: by mass, or the cheapest sheet that it may be cut from."""
    if on_sheets(brief, plate):
        return min(s.price / (s.length * s.width) for s in sheets_for(brief, plate.thickness))
    return plate.thickness * find_steel(brief.steel.grade).density * 1e-9 * brief.steel.sheet_price_kg


def _fillets(brief: Brief, profile: Profile) -> float:
    """Metal of fillets all round both ends of a member, mm3."""
    leg = min(brief.welding.leg, profile.wall)
    return 4 * (profile.height + profile.width) * section("fillet", leg=leg, throat=leg / math.sqrt(2))


def _reach(member: Ints, stations: Floats, count: int) -> Floats:
    """Length of each member's elements together, mm; overlaps at joints count twice, as in the model."""
    own = member >= 0
    return np.bincount(member[own], (stations[:, 1] - stations[:, 0])[own], count).astype(float)

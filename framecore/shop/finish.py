"""Paint from bare steel: what is painted, what is kept bare, how many litres of each coat.

Worked out when asked for: it needs to know where parts touch (``framecore.solids.contacts``), and that takes longer than
everything that follows a hand's drag.

Sources: outer perimeters by the section tables (EN 10219-2 prints the same areas a metre); litres by area and dry film
with volume solids as data sheets define them, 10 m²/l = volume solids in % over dry film in µm; losses of 10 % by brush
and 20 % by gun are the ends of the span that paint makers name; what is masked is common practice.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from framecore.brief.model import Brief
from framecore.catalogue.model import Profile
from framecore.frame.model import Frame, Hole, Member, Plate, PlateRole, Vector
from framecore.frame.vector import dot
from framecore.shop import cautions
from framecore.shop._say import about
from framecore.shop.work import Coat, FinishPlan
from framecore.solids.contacts import Contact
from framecore.solids.model import Solids

SQUARE_FOOT, GALLON, MIL = 0.09290304, 3.785411784, 25.4  # m2; litres (231 cubic inches); µm
LOSS = {"brush": 0.10, "spray": 0.20}
EARTH_POINT = 30.0  # mm; side of the bare spot for the earth lead (assumed)
NUT_SEAT = 2.5  # of the stud: what a foot's nut and washer cover of a plate that is more than a pad (common practice)
MACHINE_FOOT = 50.0  # mm; side of what a machine's foot covers where no flat member tells it (assumed)
_FACING = 0.999
_M2 = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class PaintedArea:
    """Where the painted area comes from, m2.

    Attributes
    ----------
    sides : outer sides of the members, true perimeter by mean length
    ends : steel of the members' ends, bores left out
    plates : both faces and the edges of the steel plates
    contacts : where steel lies on steel, both sides (taken off)
    openings : of drilled holes, where the drill enters and leaves (taken off)
    masked : faces kept bare (taken off); (name, area) each
    threads : walls of tapped holes, kept bare; bores are never counted as painted, so it is not taken off
    """

    sides: float
    ends: float
    plates: float
    contacts: float
    openings: float
    masked: tuple[tuple[str, float], ...]
    threads: float

    @property
    def gross(self) -> float:
        """All outer faces before anything is taken off, m2."""
        return self.sides + self.ends + self.plates

    @property
    def net(self) -> float:
        """What is painted, m2."""
        off = self.contacts + self.openings + sum(area for _, area in self.masked)
        return max(self.gross - off, 0.0)


def painted_area(frame: Frame, touching: Iterable[Contact]) -> PaintedArea:
    """Return the painted area of the stand's steel; wood, feet and casters are not painted.

    Parameters
    ----------
    touching : ``framecore.solids.contacts.contacts`` of the same frame

    Notes
    -----
    Faces under wood are painted before it goes on, so they count. Sides that lie on each other along their length are
    taken with sharp corners.
    """
    plates = [p for p in frame.plates if p.steel]
    return PaintedArea(
        sides=sum(m.profile.properties.perimeter * math.dist(m.start.point, m.end.point) for m in frame.members) * _M2,
        ends=sum(_end_steel(m, n) for m in frame.members for n in (m.start.normal, m.end.normal)) * _M2,
        plates=sum(_plate_faces(p) for p in plates) * _M2,
        contacts=_covered(frame, touching) * _M2,
        openings=sum(2 * _opening(h) for h in frame.holes if _is_open(frame, h)) * _M2,
        masked=tuple((name, area * _M2) for name, area in _masked(frame)),
        threads=sum(math.pi * h.diameter * min(h.depth, _thick(frame, h.owner)) for h in frame.holes if h.tapped) * _M2,
    )


def finish_plan(brief: Brief, frame: Frame, solids: Solids, touching: Iterable[Contact]) -> FinishPlan:
    """Return what is degreased, masked and coated, with litres for each coat.

    ``solids`` says nothing here that frame and contacts do not; it stands beside them as in the other plans of the shop.
    The threads among ``masked`` are plugged; their area was never part of the painted one.
    """
    area = painted_area(frame, touching)
    masked = (*area.masked, *((("the tapped holes", area.threads),) if area.threads else ()))
    return FinishPlan(
        area=area.net, contacts=area.contacts, masked=masked, coats=tuple(_coats(brief, area.net)),
        notes=tuple(_notes(brief)),
    )  # fmt: skip


def litres(area: float, film: float, solids: float, loss: float) -> float:
    """Return the paint to buy for one coat, l.

    Parameters
    ----------
    area : m2
    film : dry, µm
    solids : share of the paint's volume that stays, 0..1
    loss : share of what is used that does not end on the steel, over it

    Notes
    -----
    Spreading rate m²/l = 10·(volume solids in %)/(dry film in µm); source: paint makers' data sheets (50 % and 50 µm give
    10 m²/l).
    """
    return area / spreading(film, solids) * (1 + loss)


def spreading(film: float, solids: float) -> float:
    """Area one litre covers without loss, m2/l."""
    return 10 * 100 * solids / film


def area_words(units: str, area: float) -> str:
    """Return an area given in m2 as it is read."""
    return about(units, f"{area:.2f} m²", f"{area / SQUARE_FOOT:.1f} ft²")


def film_words(units: str, film_um: float) -> str:
    """Return the thickness of a film given in µm as it is read: µm, or thousandths of an inch."""
    return about(units, f"{film_um:.0f} µm", f"{film_um / MIL:.1f} mil")


def _coats(brief: Brief, area: float) -> Iterator[Coat]:
    f = brief.finish
    if f.paint == "none":
        return
    loss = LOSS[f.paint]
    kinds = (("Primer", f.primer_coats, f.primer_film, f.primer_solids), ("Paint", f.top_coats, f.top_film, f.top_solids))
    units = brief.units
    for name, count, film, solids in kinds:
        covers = spreading(film, solids)
        spread = about(units, f"{covers:.1f} m² a litre", f"{covers * GALLON / SQUARE_FOOT:.0f} ft² a US gallon")
        for k in range(count):
            yield Coat(
                name=name if count == 1 else f"{name}, coat {k + 1}", litres=litres(area, film, solids, loss), film_um=film,
                text=(
                    f"{area_words(units, area)} at {spread}, {loss:.0%} more for what is lost; "
                    f"{film_words(units, film)} dry, {film_words(units, film / solids)} wet"
                ),
            )  # fmt: skip


def _notes(brief: Brief) -> Iterator[str]:
    yield (
        "Wash off mill scale dust, oil and the saw's coolant with an alkaline cleaner or acetone and let it dry; wipe until a "
        "white rag stays white. Then key the surface. Open ends first: what sits in them creeps out under the paint."
    )
    yield cautions.SOLVENT
    yield "Chlorinated cleaner stays behind in dimples and tube ends: nothing that was washed with it is welded again."
    yield cautions.zinc(brief.units)
    yield "Never set an aerosol can on the earthed bench: an arc through its wall sets it alight."
    if brief.finish.paint == "none":
        yield "Unpainted steel rusts: oil or wax it, seams and open ends too."
    else:
        yield cautions.PAINT
        yield (
            "Film, volume solids and loss are typical values; those on the tin and its data sheet hold, and its drying times, "
            "thinners and protective gear too."
        )


def _end_steel(m: Member, normal: Vector) -> float:
    """Steel of one end face, mm2."""
    return m.profile.properties.area / abs(dot(m.x_axis, normal))


def _ring(points: NDArray[np.float64]) -> float:
    x, y = points.T
    return float(x @ np.roll(y, -1) - y @ np.roll(x, -1)) / 2


def _plate_faces(p: Plate) -> float:
    edge = float(np.linalg.norm(p.outline - np.roll(p.outline, 1, axis=0), axis=1).sum())
    return 2 * _ring(p.outline) + edge * p.thickness


def _covered(frame: Frame, touching: Iterable[Contact]) -> float:
    """Area taken off by steel on steel, both sides, mm2.

    Contacts are those of the sharp-cornered shapes with filled bores: an end covers its true outer shape on the other
    part, and of itself only its steel.
    """
    members = {m.name: m for m in frame.members}
    wood = {p.name for p in frame.plates if not p.steel}
    total = 0.0
    shares: dict[tuple[str, Vector], float] = defaultdict(float)  # of each end: how much of it is covered
    for c in touching:
        if c.one in wood or c.other in wood:
            continue
        x, y, z = c.normal
        ends = [(name, _end(members.get(name), n)) for name, n in ((c.one, c.normal), (c.other, (-x, -y, -z)))]
        true = min((_true_share(members[name].profile) for name, end in ends if end is not None), default=1.0)
        for name, end in ends:
            if end is None:
                total += c.area * true
            else:
                m = members[name]
                shares[name, end] += c.area * abs(dot(m.x_axis, end)) / _ring(m.profile.outline[0])
    for (name, end), share in shares.items():
        total += min(share, 1.0) * _end_steel(members[name], end)
    return total


def _end(m: Member | None, outward: Vector) -> Vector | None:
    """Normal of the end of a member that faces this way, None for its sides and for plates."""
    if m is None:
        return None
    return next((n for n in (m.start.normal, m.end.normal) if dot(n, outward) > _FACING), None)


def _true_share(p: Profile) -> float:
    """Outer shape with its rounded corners over that with sharp ones."""
    return _ring(p.outline_fine[0]) / _ring(p.outline[0])


def _opening(h: Hole) -> float:
    return math.pi / 4 * h.diameter**2 + h.slot * h.diameter


def _is_open(frame: Frame, h: Hole) -> bool:
    """Whether a hole's mouths lie in what was counted as painted: not under a leg, not in wood."""
    if any(f.name == h.purpose for f in frame.feet):
        return False  # its upper mouth lies under the leg, its lower one in the masked face
    return all(p.steel for p in frame.plates if p.name == h.owner)


def _thick(frame: Frame, owner: str) -> float:
    plate = next((p for p in frame.plates if p.name == owner), None)
    return plate.thickness if plate is not None else 2 * frame.member(owner).profile.wall_design


def _masked(frame: Frame) -> Iterator[tuple[str, float]]:
    """Yield the faces that stay bare, mm2."""
    bores = {h.purpose: _opening(h) for h in frame.holes if h.tapped}
    under = 0.0
    for f in frame.feet:
        plate = next((p for p in frame.plates if p.name == f.pad), None)
        if plate is None or not plate.steel:
            continue
        face = _ring(plate.outline)
        if plate.role is not PlateRole.PAD:
            face = min(face, math.pi / 4 * (NUT_SEAT * _stud(frame, f.name)) ** 2)
        under += max(face - bores.get(f.name, 0.0), 0.0)
    if under:
        yield "the undersides of the pads" if any(p.role is PlateRole.PAD for p in frame.plates) else "the feet's places", under
    seats = sum(_seats(frame))
    if seats:
        yield "the machine's places on the seat", seats
    yield "a spot for the earth lead", EARTH_POINT**2


def _stud(frame: Frame, foot: str) -> float:
    return next((h.diameter for h in frame.holes if h.purpose == foot), 0.0)


def _seats(frame: Frame) -> Iterator[float]:
    """Yield what each of the machine's feet covers, less its hole: a block's top, or a square as wide as the flat."""
    if any(p.role is PlateRole.TOP and not p.steel for p in frame.plates):
        return  # it stands on wood
    blocks = {name: p for p in frame.plates if p.role is PlateRole.BLOCK for name in p.on}
    members = {m.name: m for m in frame.members}
    for mount in frame.mounts:
        hole = math.pi / 4 * mount.hole**2 + mount.slot * mount.hole
        if mount.name in blocks:
            side2 = _ring(blocks[mount.name].outline)
        else:
            p = members[mount.member].profile if mount.member in members else None
            side = (p.width - 2 * p.corner if p.closed else p.width) if p is not None else MACHINE_FOOT
            side2 = side * max(side, mount.hole + mount.slot)
        yield max(side2 - hole, 0.0)

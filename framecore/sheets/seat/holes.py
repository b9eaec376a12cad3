"""The holes of the seat, numbered, from one datum; how slots are drawn and called."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from framecore.frame.model import PlateRole, Vector
from framecore.sheets.drawing.dims import crossings, text_box
from framecore.sheets.drawing.hidden import TOP
from framecore.sheets.drawing.model import Arc, Point2, Primitive, Text, ViewPlacement
from framecore.sheets.drawing.views import on_paper
from framecore.sheets.seat.seat_steel import datum_of, rims_under
from framecore.stand.model import Stand

SLOT_NOTE = (
    "A slot is placed by its middle; its length is from end centre to end centre: drill both "
    "ends, then take out what is between."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """How a hole is cut: ``slot`` between the end centres along the unit vector ``way``, mm; 0 where it is round."""

    diameter: float
    slot: float = 0.0
    way: Point2 = (1.0, 0.0)

    @property
    def half(self) -> Point2:
        """From the middle to an end centre, mm."""
        return self.way[0] * self.slot / 2, self.way[1] * self.slot / 2

    @property
    def reach(self) -> Point2:
        """How far the cut reaches from its middle, to each side and up and down, mm."""
        return self.diameter / 2 + abs(self.half[0]), self.diameter / 2 + abs(self.half[1])

    def ends(self, at: Point2) -> tuple[Point2, ...]:
        """End centres of the cut with its middle ``at``; the middle alone where it is round."""
        (x, y), (dx, dy) = at, self.half
        return ((x - dx, y - dy), (x + dx, y + dy)) if self.slot > 0.0 else (at,)

    def sides(self, at: Point2) -> tuple[tuple[Point2, Point2], ...]:
        """The straight sides of a slot, counter-clockwise: right of its way first; none where it is round."""
        if self.slot <= 0.0:
            return ()
        (a, b), r = self.ends(at), self.diameter / 2
        nx, ny = -self.way[1] * r, self.way[0] * r
        return ((a[0] - nx, a[1] - ny), (b[0] - nx, b[1] - ny)), ((b[0] + nx, b[1] + ny), (a[0] + nx, a[1] + ny))

    def rims(self, at: Point2) -> tuple[Arc, ...]:
        """The round ends of a slot, or the circle."""
        if self.slot <= 0.0:
            return (Arc(centre=at, radius=self.diameter / 2),)
        (a, b), r, turn = self.ends(at), self.diameter / 2, math.atan2(self.way[1], self.way[0])
        return (
            Arc(centre=b, radius=r, start=turn - math.pi / 2, end=turn + math.pi / 2),
            Arc(centre=a, radius=r, start=turn + math.pi / 2, end=turn + 3 * math.pi / 2),
        )

    def words(self, words: Callable[[float], str]) -> str:
        """Return "ø11", "ø11 slot 4 along" (x), "... across" (y) or "... at 35°" (from x towards y)."""
        text = f"ø{words(self.diameter)}"
        if self.slot <= 0.0:
            return text
        turn = math.degrees(math.atan2(self.way[1], self.way[0])) % 180.0
        if min(turn, 180.0 - turn) < 0.05:
            way = "along"
        else:
            way = "across" if abs(turn - 90.0) < 0.05 else f"at {turn:.0f}°"
        return f"{text} slot {words(self.slot)} {way}"


@dataclass(frozen=True, slots=True, kw_only=True)
class SeatHole:
    """One upright hole of the seat: its number, place from the datum, cut, and what it is for."""

    number: int
    at: Point2
    cut: Cut
    what: str


def cut_of(diameter: float, slot: float, axis: Vector) -> Cut:
    """Return a cut as seen from above."""
    return Cut(diameter=diameter, slot=slot, way=(axis[0], axis[1]))


def machine_holes(stand: Stand) -> list[SeatHole]:
    """Return the upright holes of the seat: the machine's by the numbers of its feet, then the others from the front left.

    Measured from the datum (``seat_steel.datum_of``), x to the right, y to the back.
    """
    x0, y0 = datum_of(stand, rims_under(stand)).at
    pads = {p.name for p in stand.frame.plates if p.role in (PlateRole.PAD, PlateRole.BRACKET)}
    found: dict[tuple[int, int], tuple[Point2, Cut, str]] = {}
    for h in stand.frame.holes:
        if h.owner in pads or abs(h.axis[2]) < 0.999:
            continue
        x, y = h.centre[0] - x0, h.centre[1] - y0
        what = f"{h.purpose}, {h.tapped} tapped" if h.tapped else h.purpose
        found.setdefault((round(x * 10), round(y * 10)), ((x, y), cut_of(h.diameter, h.slot, h.slot_axis), what))
    order = sorted(found, key=lambda k: (_foot(found[k][2]), k[1], k[0]))
    return [SeatHole(number=n, at=found[k][0], cut=found[k][1], what=found[k][2]) for n, k in enumerate(order, 1)]


def _foot(what: str) -> float:
    """The number of the machine's foot that a hole is for; infinite where it is for something else."""
    head = what.split(",")[0].removeprefix("machine foot ")
    return float(head) if head.isdigit() else math.inf


def hole_numbers(stand: Stand, place: ViewPlacement, drawn: list[Primitive]) -> list[Primitive]:
    """Number of each hole, in the corner beside it that fewest lines of ``drawn`` cross."""
    out: list[Primitive] = []
    x0, y0 = datum_of(stand, rims_under(stand)).at
    for hole in machine_holes(stand):
        at = on_paper(place, TOP, (hole.at[0] + x0, hole.at[1] + y0, 0.0))
        rx, ry = (r * place.scale + 1.0 for r in hole.cut.reach)
        tries = [
            Text(
                at=(at[0] + side * rx, at[1] + (ry if up else -ry - 2.5)),
                text=str(hole.number),
                align="left" if side > 0 else "right",
                bold=True,
            )
            for side in (1.0, 1.6, 2.4, -1.0, -1.6, -2.4)
            for up in (True, False)
        ]
        out.append(min(tries, key=lambda t: crossings(text_box(t), [*drawn, *out])))
    return out


def hole_rows(holes: list[SeatHole], words: Callable[[float], str]) -> list[tuple[str, ...]]:
    """Rows of a table: number, x, y, cut and what it is for; under a slot its two end centres."""
    rows: list[tuple[str, ...]] = []
    for h in holes:
        rows.append((str(h.number), words(h.at[0]), words(h.at[1]), h.cut.words(words), h.what))
        if h.cut.slot > 0.0:
            rows += [("", words(x), words(y), "end centre", "") for x, y in h.cut.ends(h.at)]
    return rows

"""What lies over a weld once it is made: sheets and the machine's feet, and so which welds are dressed or stay clear."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np
import shapely

from framecore.brief.model import Brief
from framecore.frame.model import NOTCH_SPARE, Frame, Plate, PlateRole, Vector
from framecore.frame.vector import along, cross, dot, minus
from framecore.shop._say import within
from framecore.shop.work import Weld
from framecore.solids._covers import LATE

DRESSED = ("butt", "flare-bevel", "corner", "edge")  # what can be ground to the face; a fillet stands in its corner
NEAR = 0.6  # mm
SEAT_FOOT = 80.0  # mm round a bolt that a machine's foot may cover (common practice)
SEAT = "the machine's feet stand on it"
_AT = (0.1, 0.5, 0.9)  # of a run, where it is asked


class _Cover:
    """A sheet as something that lies on a weld: its real outline, notches and all, and its two faces."""

    def __init__(self, plate: Plate) -> None:
        self.name = plate.name
        self.word = _word(plate)
        self._plate = plate
        self.normal = cross(plate.u_axis, plate.v_axis)
        self._shape = shapely.Polygon(plate.outline).buffer(-NEAR)
        shapely.prepare(self._shape)

    def lies_on(self, points: Sequence[Vector]) -> bool:
        """Whether any of the points lies against one of its faces."""
        p = self._plate
        off = [minus(q, p.origin) for q in points]
        w = [dot(o, self.normal) for o in off]
        if not (all(abs(k) < NEAR for k in w) or all(abs(k - p.thickness) < NEAR for k in w)):
            return False
        flat = np.array([(dot(o, p.u_axis), dot(o, p.v_axis)) for o in off])
        return bool(shapely.contains_xy(self._shape, flat).any())


_WORDS = {
    PlateRole.TOP: "top", PlateRole.SHELF: "shelf", PlateRole.PANEL: "panel", PlateRole.TRAY: "tray",
    PlateRole.BACK: "splash back", PlateRole.BACKSTOP: "backstop",
}  # fmt: skip


def _word(plate: Plate) -> str:
    return _WORDS.get(plate.role, str(plate.role))


def dressed(brief: Brief, frame: Frame, found: Sequence[Weld]) -> list[Weld]:
    """Return the welds with what lies on them: dressed flat where they can be, a notch asked for where they cannot."""
    covers = [_Cover(p) for p in frame.plates if p.role in LATE]
    roles = {m.name: str(m.role) for m in frame.members} | {p.name: _word(p) for p in frame.plates}
    out = []
    for weld in found:
        flush, why = False, ""
        if not weld.pitch:
            if weld.under:
                flush, why = True, f"the {roles[weld.under]} lies against it"
            elif weld.kind in DRESSED:
                why = next((f"the {c.word} lies on it" for c in covers if _over(c, weld)), "")
                if not why and _at_seat(brief, frame, weld):
                    why = SEAT
                flush = bool(why)
            else:
                room = within(brief.units, weld.leg + NOTCH_SPARE)
                why = next((f"notch the {c.word} {room} clear of it" for c in covers if _on_foot(c, weld)), "")
        out.append(replace(weld, flush=flush, why=why) if why else weld)
    return out


def _places(run: Sequence[Vector]) -> list[Vector]:
    way = minus(run[-1], run[0])
    return [along(run[0], t, way) for t in _AT]


def _over(cover: _Cover, weld: Weld) -> bool:
    return cover.name not in weld.parts and any(cover.lies_on(_places(run)) for run in weld.runs)


def in_the_way(weld: Weld, plate: Plate) -> bool:
    """Whether a fillet runs where a sheet would lie over its foot, so that the sheet is notched clear of it."""
    return _on_foot(_Cover(plate), weld)


def _on_foot(cover: _Cover, weld: Weld) -> bool:
    """Whether a sheet lies on the face that a fillet runs on, over the fillet's foot."""
    if cover.name in weld.parts:
        return False
    for run, faces in zip(weld.runs, weld.faces, strict=True):
        for lies, away in (faces, faces[::-1]):
            if abs(dot(lies, cover.normal)) < 1 - 1e-6:
                continue
            if any(cover.lies_on([along(p, share * weld.leg, away) for p in _places(run)]) for share in (0.5, 1.0)):
                return True
    return False


def _at_seat(brief: Brief, frame: Frame, weld: Weld) -> bool:
    """Whether the weld lies in the level the machine stands on, near one of its feet; jacks hold it clear."""
    if brief.mounting.jack > 0.0 and "jacking" in brief.mounting.seating:
        return False
    spots = list(_spots(frame))
    for run in weld.runs:
        if abs(run[0][2] - run[-1][2]) > NEAR:
            continue
        for x, y, z in _places(run):
            if any(abs(z - p[2]) < NEAR and math.hypot(x - p[0], y - p[1]) < SEAT_FOOT for p in spots):
                return True
    return False


def _spots(frame: Frame) -> Iterator[Vector]:
    for mount in frame.mounts:
        yield mount.point

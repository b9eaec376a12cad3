"""What a flat drawing cannot show: which pieces are packed up off the bars, and how far end plates stand out."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from framecore.frame.model import Member, Plate
from framecore.sheets.assemblies.assembly_data import Floats, view_of
from framecore.sheets.words import length_words
from framecore.shop.work import Assembly
from framecore.stand.model import Stand

LEAST = 0.5  # mm; what differs by less lies level
SQUARE = 0.999  # cosine from which a plate counts as square across a member
SIDES = (("left", "right"), ("front", "back"), ("below", "above"))


def packing(stand: Stand, assembly: Assembly) -> list[str]:
    """Say which members of a flat assembly lie higher than the lowest, and by how much: packing goes under them."""
    if assembly.flat is None:
        return []
    towards = -view_of(stand, assembly).forward
    low = {m.name: _lowest(m, towards) for m in map(stand.frame.member, assembly.members)}
    if not low:
        return []
    floor, words, marks = min(low.values()), length_words(stand), stand.shop.piece_of
    raised: dict[float, list[str]] = {}
    for name, at in low.items():
        if at - floor > LEAST:
            raised.setdefault(round(at - floor, 1), []).append(marks.get(name, name))
    return [
        f"{', '.join(dict.fromkeys(names))}: packed up {words(up)} off the bars."
        for up, names in sorted(raised.items())
    ]


def _lowest(m: Member, towards: Floats) -> float:
    """How far along a direction the nearest corner of a member lies, mm."""
    y, z = (float(np.asarray(a) @ towards) for a in (m.y_axis, m.z_axis))
    ends = min(float(np.asarray(e.point) @ towards) for e in (m.start, m.end))
    return ends + float((np.asarray(m.profile.outline[0]) @ np.array([y, z])).min())


def standing_out(stand: Stand, assembly: Assembly) -> list[str]:
    """Say how far every plate that closes a member's end stands out beyond it, plates with one mark once."""
    words, marks = length_words(stand), stand.shop.piece_of
    found: dict[tuple[str, str], list[list[_Side]]] = {}
    for name in assembly.plates:
        plate = stand.frame.plate(name)
        for member in map(stand.frame.member, assembly.members):
            sides = _beyond(plate, member)
            if sides and name in marks and member.name in marks:
                found.setdefault((marks[name], marks[member.name]), []).append(sides)
    out = []
    for (plate_mark, mark), every in found.items():
        told = {_told([(q.name, q.by) for q in sides], words) for sides in every}
        if len(told) > 1:  # at every corner otherwise to the stand, yet alike from its middle
            told = {_told(sorted((q.turned, q.by) for q in sides), words) for sides in every}
        out += [f"{plate_mark} stands out beyond {mark}: {text}." for text in sorted(told)]
    return out


@dataclass(frozen=True, slots=True, kw_only=True)
class _Side:
    """One side of a plate: as the stand stands, as it is turned to the stand's middle, and how far it stands out, mm."""

    name: str
    turned: str
    by: float


def _told(sides: Sequence[tuple[str, float]], words: Callable[[float], str]) -> str:
    """Say four sides in as few words as they need."""
    values = [by for _, by in sides]
    if max(values) - min(values) < LEAST:
        return f"{words(values[0])} all round"
    rows: dict[str, dict[str, None]] = {}
    for side, value in sides:
        rows.setdefault(words(max(value, 0.0)), {})[side] = None
    return ", ".join(f"{value} {' and '.join(own)}" for value, own in rows.items())


def _beyond(plate: Plate, m: Member) -> list[_Side]:
    """How far a plate set square on a member's end stands out beyond its section on four sides; none where it is not."""
    u, v = np.asarray(plate.u_axis), np.asarray(plate.v_axis)
    n, axis = np.cross(u, v), np.asarray(m.x_axis)
    if abs(float(n @ axis)) < SQUARE or max(abs(n)) < SQUARE:
        return []
    origin = np.asarray(plate.origin)
    ends = [np.asarray(e.point) for e in (m.start, m.end)]
    near = [e for e in ends if -LEAST < float((e - origin) @ n) < plate.thickness + LEAST]
    if not near:
        return []
    corners = origin + plate.outline[:, :1] * u + plate.outline[:, 1:] * v
    ring = near[0] + m.profile.outline[0][:, :1] * np.asarray(m.y_axis) + m.profile.outline[0][:, 1:] * np.asarray(m.z_axis)
    out: list[_Side] = []
    for k in range(3):
        if abs(float(n[k])) > SQUARE:
            continue
        low, high = float(ring[:, k].min() - corners[:, k].min()), float(corners[:, k].max() - ring[:, k].max())
        if min(low, high) < -LEAST:
            return []  # it does not close this end
        inwards = float(ring[:, k].mean()) < 0.0  # the stand's middle lies on the side of the higher coordinates
        for j, by in enumerate((low, high)):
            out.append(_Side(name=SIDES[k][j], turned="inside" if inwards == (j == 1) else "outside", by=by))
    return out

"""Ends of tubes: which welds close, which something lies on, and which stay open and want a cap."""

from __future__ import annotations

from collections.abc import Iterator
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from framecore.frame.model import Frame, Plate, PlateRole
from framecore.shop._say import names
from framecore.shop.model import Bought

CAP = "end cap"
DOWN = 0.7  # of an end's normal: it looks down
PAST = 1.5  # mm past an end, where what closes it must be
_LOOSE = (PlateRole.TOP, PlateRole.SHELF, PlateRole.TRAY, PlateRole.PANEL, PlateRole.BACK, PlateRole.BACKSTOP)

Floats = NDArray[np.float64]


class End(StrEnum):
    """What closes the end of a tube."""

    WELDED = "welded"
    COVERED = "covered"
    OPEN = "open"


_kept: tuple[object, dict[str, tuple[End, End]]] = (None, {})


def tube_ends(frame: Frame) -> dict[str, tuple[End, End]]:
    """Return what closes both ends of every tube, by member.

    Kept as long as the same parts are joined in the same way: a drag of a size closes and opens no end.
    """
    global _kept
    if _kept[0] != frame.topology:
        _kept = frame.topology, _tube_ends(frame)
    return _kept[1]


def _tube_ends(frame: Frame) -> dict[str, tuple[End, End]]:
    tubes = [m for m in frame.members if m.profile.closed]
    if not tubes:
        return {}
    points = np.array([
        [p + PAST * n for p, n in zip(e.point, e.normal, strict=True)] for m in tubes for e in (m.start, m.end)
    ])  # fmt: skip
    bars = frame.members
    axes = np.array([(m.x_axis, m.y_axis, m.z_axis) for m in bars])
    start = np.array([m.start.point for m in bars])
    half = np.array([(m.length, m.profile.width, m.profile.height) for m in bars]) / 2
    middle = (start + np.array([m.end.point for m in bars])) / 2
    box = np.array([(0.0, *m.profile.box_centre) for m in bars])
    local = np.einsum("pmk,mak->pma", points[:, None] - middle[None], axes) - box
    inside = (np.abs(local) <= half).all(axis=2)
    of = {m.name: k for k, m in enumerate(bars)}
    inside[np.arange(len(points)), np.repeat([of[m.name] for m in tubes], 2)] = False
    welded = inside.any(axis=1)
    covered = np.zeros(len(points), np.bool_)
    for plate in frame.plates:
        on = _on_plate(plate, points)
        if plate.role in _LOOSE or plate.sheet or not plate.steel:
            covered |= on
        else:
            welded |= on
    state = [End.WELDED if w else End.COVERED if c else End.OPEN for w, c in zip(welded, covered, strict=True)]
    return {m.name: (state[2 * k], state[2 * k + 1]) for k, m in enumerate(tubes)}


def _on_plate(plate: Plate, points: Floats) -> NDArray[np.bool_]:
    """Which points lie in the rectangle round a plate, between its faces."""
    off = points - np.array(plate.origin)
    u, v = np.array(plate.u_axis), np.array(plate.v_axis)
    a, b, c = off @ u, off @ v, off @ np.cross(u, v)
    low, high = plate.outline.min(0), plate.outline.max(0)
    return np.asarray(
        (a >= low[0]) & (a <= high[0]) & (b >= low[1]) & (b <= high[1]) & (c >= -0.1) & (c <= plate.thickness + 0.1)
    )


def caps(frame: Frame) -> Iterator[Bought]:
    """Yield one line of caps for each tube that has open ends."""
    ends, open_ = tube_ends(frame), dict[str, list[str]]()
    for m in frame.members:
        # What looks down stays open: water and chips fall out of it.
        both = zip(ends.get(m.name, ()), (m.start, m.end), strict=False)
        count = sum(state is End.OPEN and end.normal[2] > -DOWN for state, end in both)
        if count:
            open_.setdefault(m.profile.id, []).extend([m.name] * count)
    for profile, own in open_.items():
        yield Bought(
            what=CAP, size=f"to drive into {profile}", count=len(own), where=f"open ends of {names(own)}",
            note="plastic, or weld a plate on and grind it",
        )  # fmt: skip

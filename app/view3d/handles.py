"""What can be taken hold of on the view: points of the stand, the ways they go and what they set. No toolkit.

A new kind of handle is one small class: ``handles`` says where they are, ``moved`` what the brief becomes.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from framecore.brief import BriefSource
from framecore.brief.model import Brief

if TYPE_CHECKING:
    from framecore.stand.model import Stand

Floats = NDArray[np.float64]
X, Y, Z = (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)
Vector = tuple[float, float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Here:
    """The state that handles belong to: the brief as typed and as read, its stand's seat and bearers' x, mm.

    ``stand`` is the last one that was worked out; while a hand moves it may be a picture behind the brief.
    """

    source: BriefSource
    brief: Brief
    seat: float
    bearers: tuple[float, ...] = ()
    stand: Stand | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Handle:
    """One point to take hold of.

    Attributes
    ----------
    id : stays the same while it moves
    at : stand axes, mm
    ways : unit vectors, one for a line and two for a plane it moves in
    mark : what is written on it
    name : what is read out
    grows : whether what it sets grows along its first way
    """

    id: str
    at: Vector
    ways: tuple[Vector, ...]
    mark: str
    name: str
    grows: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """What a hand did: dotted keys and their new values (None: typical again), words to show, a name for the history.

    ``note``: why it went no further, "" where nothing held it back.
    """

    values: Mapping[str, Any]
    words: str
    text: str
    lines: tuple[tuple[Vector, Vector], ...] = field(default=())
    note: str = ""


class Handles:
    """A family of handles. All answers are for the state ``here`` that they are asked with."""

    title = ""
    adds = False  # whether new ones can be made
    even = False  # mirror partners move too

    def handles(self, here: Here) -> tuple[Handle, ...]:
        """Return the handles there are."""
        raise NotImplementedError

    def moved(self, here: Here, handle: Handle, to: Floats, free: bool, reach: float = 0.0) -> Change:
        """Return the change that takes a handle to a point; to the next step of the rule unless ``free``.

        ``reach``: how near to a place it likes it stops there, mm; 0 for keys, which go by steps alone.
        """
        raise NotImplementedError

    def nudged(self, base: Here, here: Here, handle: Handle, way: int, sign: float, free: bool) -> Change:
        """Return the change of one stroke of a key along a way of the handle, a tenth of it when ``free``.

        ``base``: the state when the movement began; ``here`` the present one.
        """
        step = self.step(here) * (0.1 if free else 1.0)
        return self.moved(base, handle, np.array(handle.at) + sign * step * np.array(handle.ways[way]), free)

    def can_be_even(self, here: Here) -> bool:
        """Return whether there are mirror partners that may move too."""
        return False

    def step(self, here: Here) -> float:
        """Return what one key moves, mm."""
        from app.view3d.written import step

        return step(here.brief.units)

    def fields(self, here: Here, handle: Handle) -> tuple[tuple[str, str], ...]:
        """Return (label, text) of each value that may be typed."""
        return ()

    def typed(self, here: Here, handle: Handle, texts: tuple[str, ...]) -> Change:
        """Return the change that typed values make. Raises ``UnitError``."""
        raise NotImplementedError

    def removed(self, here: Here, handle: Handle) -> Change | None:
        """Return the change that takes one out, None where none can be."""
        return None

    def added(self, here: Here, at: Floats | None) -> Change | None:
        """Return the change that makes one at a point, or where there is room."""
        return None

    def plane(self, here: Here) -> float:
        """Return the height of the level plane new ones lie in, mm."""
        return here.seat


def where(handle: Handle, origin: Floats, direction: Floats) -> Floats | None:
    """Return the point of a handle's line or plane that a ray passes nearest, None where it runs along it."""
    at, ways = np.array(handle.at), np.array(handle.ways)
    if len(ways) == 2:
        normal = np.cross(ways[0], ways[1])
        across = float(direction @ normal)
        if abs(across) < 0.02:  # seen edge on a pixel would be metres
            return None
        t = float((at - origin) @ normal) / across
        return None if t <= 0 else np.asarray(origin + t * direction)
    along = float(ways[0] @ direction)
    short = 1 - along**2
    if short < 4e-4:
        return None
    off = origin - at
    return np.asarray(at + ways[0] * (float(ways[0] @ off) - along * float(direction @ off)) / short)

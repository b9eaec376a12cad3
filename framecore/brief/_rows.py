"""Kinds of fields that hold places, lists or rows, and the values they read."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from framecore.brief._single import Count, Kind, Length, Mass, Number, Price, ProfileName, Text, refuse, told

# Positions and sizes inside a brief reach no further than this, mm.
_REACH = 5000.0
_PLACE = Length(low=-_REACH, high=_REACH)
_SIZE = Length(low=0.1, high=_REACH)
_MOST_ROWS = 200


def rows_of(value: Any, what: str) -> Sequence[Any]:
    if not isinstance(value, (list, tuple)) or len(value) > _MOST_ROWS:
        raise refuse(f"must be a list of at most {_MOST_ROWS} {what}, not {told(value)}", f"a list of {what}")
    return value


def _places(value: Any, count: int, system: str, kind: Length = _PLACE) -> tuple[float, ...]:
    if not isinstance(value, (list, tuple)) or len(value) != count:
        raise refuse(f"must be {count} lengths in brackets, not {told(value)}", f"{count} lengths")
    return tuple(kind.read(v, system) or 0.0 for v in value)


def table_of(value: Any, needed: tuple[str, ...], optional: tuple[str, ...] = ()) -> Mapping[str, Any]:
    keys = (*needed, *optional)
    if not isinstance(value, Mapping) or not set(needed) <= set(value) <= set(keys):
        text = ", ".join(keys)
        raise refuse(f"must be rows with {text}, not {told(value)}", text)
    return value


@dataclass(frozen=True, kw_only=True)
class Point(Kind):
    """A place: ``count`` lengths."""

    unit: str = "mm"
    count: int = 3

    def read(self, value: Any, system: str) -> tuple[float, ...]:
        """Read a point."""
        return _places(value, self.count, system)


@dataclass(frozen=True, kw_only=True)
class HolePattern(Kind):
    """A list of [x, y], or rows and columns with pitches."""

    def read(self, value: Any, system: str) -> tuple[tuple[float, ...], ...]:
        """Read a hole pattern."""
        if isinstance(value, Mapping):
            t = table_of(value, ("columns", "rows", "pitch_x", "pitch_y"))
            many = Count(low=1, high=20)
            nx, ny = many.read(t["columns"], system), many.read(t["rows"], system)
            px, py = (_SIZE.read(t[k], system) or 0.0 for k in ("pitch_x", "pitch_y"))
            return tuple((i * px, j * py) for j in range(ny) for i in range(nx))
        return tuple(_places(v, 2, system) for v in rows_of(value, "holes"))


@dataclass(frozen=True, kw_only=True)
class Outline(Kind):
    """Boxes to draw."""

    def read(self, value: Any, system: str) -> tuple[OutlineBox, ...]:
        """Read the boxes."""
        out = []
        for row in rows_of(value, "boxes"):
            t = table_of(row, ("at", "size"), ("name",))
            x, y, z = _places(t["at"], 3, system)
            a, b, c = _places(t["size"], 3, system, _SIZE)
            out.append(OutlineBox(name=Text().read(t.get("name", ""), system), at=(x, y, z), size=(a, b, c)))
        return tuple(out)


@dataclass(frozen=True, kw_only=True)
class Lengths(Kind):
    """A list of lengths within ``low`` and ``high``."""

    unit: str = "mm"

    def read(self, value: Any, system: str) -> tuple[float, ...]:
        """Read the lengths."""
        one = Length(low=self.low, high=self.high)
        return tuple(one.read(v, system) or 0.0 for v in rows_of(value, "lengths"))


@dataclass(frozen=True, kw_only=True)
class Places(Lengths):
    """Places along one axis within ``low`` and ``high``."""


@dataclass(frozen=True, kw_only=True)
class Speeds(Kind):
    """A list of speeds in revolutions a minute."""

    unit: str = "rpm"

    def read(self, value: Any, system: str) -> tuple[float, ...]:
        """Read the speeds."""
        one = Number(low=1, high=60000, unit="rpm")
        return tuple(one.read(v, system) or 0.0 for v in rows_of(value, "speeds"))


@dataclass(frozen=True, kw_only=True)
class Loads(Kind):
    """Masses that stand somewhere and may travel: ``name``, ``mass``, ``at`` and, if they move, ``to``."""

    def read(self, value: Any, system: str) -> tuple[MovingLoad, ...]:
        """Read the loads."""
        out = []
        for row in rows_of(value, "loads"):
            t = table_of(row, ("mass", "at"), ("name", "to"))
            at = _places(t["at"], 3, system)
            to = _places(t["to"], 3, system) if "to" in t else at
            out.append(
                MovingLoad(
                    name=Text().read(t.get("name", ""), system),
                    mass=Mass(low=0, high=3000).read(t["mass"], system) or 0.0,
                    at=(at[0], at[1], at[2]), to=(to[0], to[1], to[2]),
                )
            )  # fmt: skip
        return tuple(out)


@dataclass(frozen=True, kw_only=True)
class Sold(Kind):
    """Lengths sold."""

    def read(self, value: Any, system: str) -> tuple[SoldLength, ...]:
        """Read the lengths sold."""
        out = []
        for row in rows_of(value, "lengths sold"):
            t = table_of(row, ("length",), ("profile", "price"))
            out.append(
                SoldLength(
                    length=Length(low=100, high=15000).read(t["length"], system) or 0.0,
                    profile=ProfileName().read(t["profile"], system) if t.get("profile") else "",
                    price=Price(low=0, high=1e6).read(t.get("price", 0.0), system) or 0.0,
                )
            )
        return tuple(out)


@dataclass(frozen=True, kw_only=True)
class Rack(Kind):
    """Offcuts on hand."""

    def read(self, value: Any, system: str) -> tuple[RackItem, ...]:
        """Read the rack."""
        out = []
        for row in rows_of(value, "offcuts"):
            t = table_of(row, ("profile", "length"), ("count",))
            out.append(
                RackItem(
                    profile=ProfileName().read(t["profile"], system),
                    length=Length(low=10, high=15000).read(t["length"], system) or 0.0,
                    count=Count(low=1, high=100).read(t.get("count", 1), system),
                )
            )
        return tuple(out)


@dataclass(frozen=True, slots=True, kw_only=True)
class OutlineBox:
    """A box of the machine: ``at`` its lower left front corner from the datum, ``size`` l, d, h; mm."""

    name: str
    at: tuple[float, float, float]
    size: tuple[float, float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class MovingLoad:
    """A mass in kg that stands ``at`` a place and may travel ``to`` another (equal where it stays), mm."""

    name: str
    mass: float
    at: tuple[float, float, float]
    to: tuple[float, float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class SoldLength:
    """A length sold: ``profile`` id or "" for all; ``length`` mm; ``price`` per bar, 0: by mass."""

    length: float
    profile: str = ""
    price: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class RackItem:
    """An offcut on hand."""

    profile: str
    length: float
    count: int = 1

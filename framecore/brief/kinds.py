"""Kinds of brief fields: how each is read, its range, its words. One small frozen class a kind."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Kind:
    """Base: ``label`` for people, ``help`` one sentence, ``low``/``high`` allowed range in core units.

    ``zero``: 0 is allowed beside the range and means "not given".
    ``word``: a word allowed instead of a number; it reads as None.
    """

    label: str = ""
    help: str = ""
    low: float = 0.0
    high: float = 0.0
    zero: bool = False
    word: str = ""
    unit: str = ""


class Length(Kind):
    """A length: number (mm) or text as people write it."""


class SheetThickness(Length):
    """A thickness: length or gauge ("11 ga")."""


class Mass(Kind):
    """kg, or "330 lb"."""


class Force(Kind):
    """N, or "60 lbf", "1.5 kN"."""


class Torque(Kind):
    """N m."""


class Angle(Kind):
    """Degrees."""


class Number(Kind):
    """A plain number in ``unit``."""


class Price(Kind):
    """Money."""


class Count(Kind):
    """A whole number."""


class Text(Kind):
    """Free text, one line."""


class Point(Kind):
    """Two or three lengths."""


class HolePattern(Kind):
    """A list of [x, y]."""


class Outline(Kind):
    """Boxes to draw."""


class Sold(Kind):
    """Lengths sold."""


class Rack(Kind):
    """Offcuts on hand."""


class ProfileName(Kind):
    """A profile of the catalogue."""


class SteelName(Kind):
    """A steel of the catalogue."""


class ThreadName(Kind):
    """A thread of the catalogue."""


@dataclass(frozen=True)
class Choice(Kind):
    """One of ``options``, which is the first argument."""

    options: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class OutlineBox:
    """A box of the machine: ``at`` its lower left front corner from the datum, ``size`` l, d, h; mm."""

    name: str
    at: tuple[float, float, float]
    size: tuple[float, float, float]


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

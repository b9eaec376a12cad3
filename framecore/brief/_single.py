"""Kinds of fields that hold one value: how each is read, its range, its words. One small class a kind.

Each kind is the metadata of an annotated field and knows how to read what was typed there; the reader of the
brief only collects. A refusal says what is allowed and the nearest sensible value.
"""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, ClassVar

from framecore import catalogue, units
from framecore.errors import CatalogueError, Refusal, UnitError


def refuse(message: str, allowed: str = "", nearest: str = "") -> Refusal:
    """Make a refusal: ``message`` follows the field's name ("must be ...")."""
    return Refusal(message, allowed, nearest)


@dataclass(frozen=True, kw_only=True)
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

    def read(self, value: Any, system: str) -> Any:
        """Return the value in core units.

        Raises
        ------
        Refusal
            What was typed cannot be meant; the sentence says what can.
        """
        raise NotImplementedError

    def show(self, value: float) -> str:
        """Return a core value as a maker would type it."""
        return f"{value:.10g} {self.unit}".strip() if self.unit not in ("", "1") else f"{value:.10g}"


def _number(text: str, system: str) -> float:
    try:
        return float(text)
    except ValueError:
        raise UnitError(f"'{text[:40]}' is not a number") from None


def _is_gauge(text: str) -> bool:
    return text.strip().lower().rstrip(".").endswith(("ga", "gauge", "gage"))


def _thickness(text: str, system: str) -> float:
    return catalogue.sheet(text).thickness if _is_gauge(text) else units.parse_length(text, system)


def _angle(text: str, system: str) -> float:
    return units.parse_angle(text)


@dataclass(frozen=True, kw_only=True)
class Quantity(Kind):
    """A number within a range; ``reader`` turns text and the brief's system into core units."""

    reader: ClassVar[staticmethod[[str, str], float]] = staticmethod(_number)

    def read(self, value: Any, system: str) -> float | None:
        """Read a number in range."""
        if self.word and isinstance(value, str) and value.strip().lower() == self.word:
            return None
        allowed = f"{self.show(self.low)} to {self.show(self.high)}"
        if self.word:
            allowed += f', or "{self.word}"'
        if self.zero:
            allowed += ", or 0 for not given"
        if isinstance(value, bool) or not isinstance(value, (int, float, str)):
            raise refuse(
                f"must be {self._noun()}, not {told(value)}; allowed is {allowed}", allowed, self.show(self.low)
            )
        try:
            number = self.reader(value, system) if isinstance(value, str) else float(value)
        except (UnitError, OverflowError) as fault:
            noun, what, why = self._noun(), told(value), str(fault).rstrip(".")
            plain = why.partition(";")[0]
            if plain.startswith(what) and plain.endswith(noun):  # what it is not, no need to say that twice
                why = what + why[len(plain):]
            raise refuse(f"is not {noun}: {why}; allowed is {allowed}", allowed) from None
        if not math.isfinite(number):
            raise refuse(f"must be a finite number, not {value}; allowed is {allowed}", allowed, self.show(self.low))
        if self.zero and number == 0.0:
            return 0.0
        if not self.low <= number <= self.high:
            near = self.show(self.low if number < self.low else self.high)
            raise refuse(f"must be {allowed}, not {told(value)}; the nearest is {near}", allowed, near)
        return number

    def _noun(self) -> str:
        name = type(self).__name__.lower()
        return f"a{'n' if name[0] in 'aeiou' else ''} {name}"


def told(value: Any) -> str:
    """Return a value as text short enough for a sentence."""
    text = repr(value) if isinstance(value, str) else str(value)
    return text if len(text) <= 40 else f"{text[:37]}..."


@dataclass(frozen=True, kw_only=True)
class Length(Quantity):
    """A length: number (mm) or text as people write it."""

    unit: str = "mm"
    reader: ClassVar[staticmethod[[str, str], float]] = staticmethod(units.parse_length)


@dataclass(frozen=True, kw_only=True)
class SheetThickness(Length):
    """A thickness: length or gauge ("11 ga")."""

    reader = staticmethod(_thickness)

    def read(self, value: Any, system: str) -> float | None:
        """Read a length, or a gauge of the catalogue."""
        if not isinstance(value, str) or not _is_gauge(value):
            return super().read(value, system)
        try:
            catalogue.sheet(value)
        except CatalogueError:
            # The gauges alone: what else the catalogue has would hide them.
            known = [g for g in map(catalogue.sheet, catalogue.sheets()) if g.gauge and self.low <= g.thickness <= self.high]
            one = ", ".join(g.id.removesuffix(" ga") for g in known)
            allowed = f"{self.show(self.low)} to {self.show(self.high)}" + (f", or one of the gauges {one}" if one else "")
            found = re.search(r"\d+(?:\.\d+)?", value)
            if found and known:
                near = min(known, key=lambda g: abs(float(g.id.removesuffix(" ga")) - float(found.group()))).id
                raise refuse(f"must be {allowed}, not {told(value)}; the nearest is {near}", allowed, near) from None
            raise refuse(f"must be {allowed}, not {told(value)}", allowed) from None
        return super().read(value, system)

    def _noun(self) -> str:
        return "a thickness"


@dataclass(frozen=True, kw_only=True)
class Mass(Quantity):
    """kg, or "330 lb"."""

    unit: str = "kg"
    reader = staticmethod(units.parse_mass)


@dataclass(frozen=True, kw_only=True)
class Force(Quantity):
    """N, or "60 lbf", "1.5 kN"."""

    unit: str = "N"
    reader = staticmethod(units.parse_force)


@dataclass(frozen=True, kw_only=True)
class Torque(Quantity):
    """N m, or "20 lbf ft"."""

    unit: str = "N m"
    reader = staticmethod(units.parse_torque)


@dataclass(frozen=True, kw_only=True)
class Angle(Quantity):
    """Degrees."""

    unit: str = "deg"
    reader = staticmethod(_angle)


@dataclass(frozen=True, kw_only=True)
class Number(Quantity):
    """A plain number in ``unit``."""


@dataclass(frozen=True, kw_only=True)
class Price(Quantity):
    """Money."""


@dataclass(frozen=True, kw_only=True)
class Count(Kind):
    """A whole number."""

    def read(self, value: Any, system: str) -> int:
        """Read a whole number in range."""
        allowed = f"a whole number from {self.low:g} to {self.high:g}"
        whole = not isinstance(value, bool) and isinstance(value, (int, float, str))
        try:
            number = int(str(value)) if whole else None
        except ValueError:
            number = None
        if number is None or not self.low <= number <= self.high:
            near = f"{self.high:g}" if number is not None and number > self.high else f"{self.low:g}"
            raise refuse(f"must be {allowed}, not {told(value)}; the nearest is {near}", allowed, near)
        return number


@dataclass(frozen=True, kw_only=True)
class Text(Kind):
    """Free text, one line of at most 120 characters."""

    def read(self, value: Any, system: str) -> str:
        """Read one line of text."""
        if not isinstance(value, str):
            raise refuse(f"must be text in quotes, not {told(value)}", "text in quotes")
        if len(value) > 120 or not value.isprintable():
            raise refuse("must be one line of at most 120 characters", "up to 120 characters")
        return value


@dataclass(frozen=True)
class Choice(Kind):
    """One of ``options``, which is the first argument."""

    options: tuple[str, ...] = ()

    def read(self, value: Any, system: str) -> str:
        """Read one of the options."""
        allowed = ", ".join(f'"{o}"' for o in self.options)
        if isinstance(value, str) and value in self.options:
            return value
        near = _nearest(str(value), self.options) if isinstance(value, str) else self.options[0]
        raise refuse(f'must be one of {allowed}, not {told(value)}; did you mean "{near}"?', allowed, near)


def _nearest(word: str, options: Sequence[str]) -> str:
    import difflib

    close = difflib.get_close_matches(word[:80].lower(), options, 1, 0.0)
    return close[0] if close else options[0]


@dataclass(frozen=True, kw_only=True)
class _Named(Kind):
    """A name of the catalogue, kept as the catalogue spells it; ``find`` looks it up."""

    find: ClassVar[staticmethod[[str], Any]]

    def read(self, value: Any, system: str) -> str:
        """Read a catalogue name."""
        if not isinstance(value, str) or len(value) > 80:
            raise refuse(f"must be a name from the catalogue in quotes, not {told(value)}", "a catalogue name")
        try:
            return str(self.find(value).id)
        except CatalogueError as fault:
            near = fault.nearest
            what = f"{told(value)}; the nearest is {near}" if near else str(fault).rstrip(".")
            raise refuse(f"is not in the catalogue: {what}", "a catalogue name", near) from None


@dataclass(frozen=True, kw_only=True)
class ProfileName(_Named):
    """A profile of the catalogue."""

    find = staticmethod(catalogue.profile)


@dataclass(frozen=True, kw_only=True)
class SteelName(_Named):
    """A steel of the catalogue."""

    find = staticmethod(catalogue.steel)


@dataclass(frozen=True, kw_only=True)
class ThreadName(_Named):
    """A thread of the catalogue."""

    find = staticmethod(catalogue.thread)

"""What may vary: choices for keys of the brief, their size and their order."""

from __future__ import annotations

import dataclasses
import difflib
import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from operator import attrgetter
from typing import Any

from framecore.brief.fields import BY_PATH, default_for
from framecore.brief.kinds import Angle, Count, Length, ProfileName, SheetThickness
from framecore.brief.kinds import Choice as ChoiceKind
from framecore.brief.model import Brief
from framecore.catalogue import profiles, sheet, sheets, summary
from framecore.errors import BriefError, Finding, Refusal
from framecore.frame.model import Frame, Role
from framecore.units import INCH, round_step

# The profile of each role, in the order in which a maker thinks of a stand.
ROLE_KEYS: dict[Role, str] = {
    Role.LEG: "legs", Role.TOP_RAIL: "top_rails", Role.LOWER_RAIL: "lower_rails", Role.BEARER: "bearers",
    Role.STRETCHER: "stretchers", Role.BEAM: "beam", Role.COLUMN: "column", Role.BASE: "base", Role.BRACE: "braces",
    Role.SLAT: "slats",
}  # fmt: skip
SECTIONS = "frame.sections."
LAYOUT, LOWER_RING = "frame.layout", "frame.lower_ring"
SIDES = ("braces.back", "braces.left", "braces.right")
# How far a length is tried either way, mm; others by a tenth, rounded.
_STEPS = {
    LOWER_RING: 100.0, "frame.pedestal": 50.0, "frame.base_thickness": 5.0, "feet.height": 10.0, "feet.pad_thickness": 3.0,
    "braces.gusset": 50.0,
}  # fmt: skip
_VARIABLE = ("frame.", "braces.", "feet.height", "feet.pad")
_FIXED = frozenset({"frame.height", "frame.stored", "frame.bearers_at"})
_MOST_OPTIONS, _PLACES = 200, 5
_TURN = 3.0  # deg an angle is tried either way
MOST_STANDS = 10**12
Place = tuple[int, ...]  # an option index a choice


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """One key of the brief that may vary.

    ``key`` dotted path; ``label`` its name for people; ``options`` values in core units, the present one among them;
    ``present`` the index of that.
    """

    key: str
    label: str
    options: tuple[Any, ...]
    present: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Space:
    """Every stand that may be built from ``choices``: a stand is one option index a choice, the last turning fastest."""

    choices: tuple[Choice, ...]

    @property
    def size(self) -> int:
        """Number of stands."""
        return math.prod(len(c.options) for c in self.choices)

    @property
    def present(self) -> tuple[int, ...]:
        """The stand of the brief as it is."""
        return tuple(c.present for c in self.choices)

    def at(self, number: int) -> tuple[int, ...]:
        """Return the stand of that number, 0 .. size - 1.

        Raises
        ------
        IndexError
            There is no such number.
        """
        if not 0 <= number < self.size:
            raise IndexError(f"stand {number} of {self.size}")
        out = []
        for c in reversed(self.choices):
            number, k = divmod(number, len(c.options))
            out.append(k)
        return tuple(reversed(out))

    def __iter__(self) -> Iterator[tuple[int, ...]]:
        return (self.at(n) for n in range(self.size))

    def brief_at(self, brief: Brief, stand: Sequence[int]) -> Brief:
        """Return the brief with the options of ``stand`` in it."""
        for key, value in self.values_at(stand).items():
            brief = with_value(brief, key, value)
        return brief

    def values_at(self, stand: Sequence[int]) -> dict[str, Any]:
        """Return what has to be written into the brief for a stand, key -> option.

        Another layout brings its own typical values, so that all that varies is written after it.
        """
        pairs = list(zip(self.choices, stand, strict=True))
        every = any(c.key == LAYOUT and k != c.present for c, k in pairs)
        pairs.sort(key=lambda pair: pair[0].key != LAYOUT)
        return {c.key: c.options[k] for c, k in pairs if every or k != c.present}


# Limits that hang on few keys: where none of these varies, every stand says what the present one says.
_HANGS_ON = {
    "feet.engagement": ("feet.", "frame.layout", "frame.base", "frame.joined_by", "frame.middle_legs", "frame.legs"),
}  # fmt: skip


def settled(space: Space, figure: str) -> bool:
    """Whether a figure is the same in every stand of the space, whatever is chosen."""
    keys = _HANGS_ON.get(figure)
    return keys is not None and not any(c.key.startswith(keys) for c in space.choices)


def with_value(brief: Brief, key: str, value: Any) -> Brief:
    """Return the brief with one key changed; it no longer counts as assumed. With the layout goes what is typical of it."""
    new: Brief = _replaced(brief, key.split("."), value)
    if key == LAYOUT and value != brief.frame.layout:
        for path in (p for p in brief.assumed if p != LAYOUT):
            before, now = (default_for(path, brief.machine.kind, b.frame.layout, brief.units) for b in (brief, new))
            if before != now:
                new = _replaced(new, path.split("."), BY_PATH[path].kind.read(now, brief.units))
    return dataclasses.replace(new, assumed=new.assumed - {key}) if key in new.assumed else new


def _replaced(value: Any, path: list[str], new: Any) -> Any:
    inner = new if len(path) == 1 else _replaced(getattr(value, path[0]), path[1:], new)
    return dataclasses.replace(value, **{path[0]: inner})


def value_of(brief: Brief, key: str) -> Any:
    """Return the value of a dotted key."""
    return attrgetter(key)(brief)


def space_of(brief: Brief, frame: Frame, vary: Mapping[str, Sequence[Any] | None] | None = None) -> Space:
    """Return what may vary.

    Parameters
    ----------
    frame : the present stand, for the roles that it has
    vary : key -> options as a maker types them, None for a sensible list; without it the profile of every role,
        the lower ring and braces on back and ends

    Raises
    ------
    BriefError
        A key or an option cannot vary; a sentence for each.
    """
    wanted: Mapping[str, Sequence[Any] | None] = vary if vary else dict.fromkeys(usual_keys(brief, frame))
    found: list[Finding] = []
    choices = []
    for key, options in wanted.items():
        try:
            choices.append(_choice(brief, key, options))
        except BriefError as fault:
            found += fault.findings
    if found:
        raise BriefError(tuple(found))
    space = Space(choices=tuple(choices))
    if space.size > MOST_STANDS:
        raise _refusal("", f"{space.size:.1e} stands are too many to tell apart; let fewer keys vary.")
    return space


def usual_keys(brief: Brief, frame: Frame) -> tuple[str, ...]:
    """Return the keys that vary where the maker names none."""
    roles = {m.role for m in frame.members}
    keys = [SECTIONS + key for role, key in ROLE_KEYS.items() if role in roles and role is not Role.SLAT]
    if brief.frame.lower_ring > 0 and Role.LOWER_RAIL in roles:
        keys.append(LOWER_RING)
    here = {bay.side for bay in frame.bays}
    return (*keys, *(s for s in SIDES if s.removeprefix("braces.") in here))


def _choice(brief: Brief, key: str, options: Sequence[Any] | None) -> Choice:
    info = BY_PATH.get(key)
    if info is None:
        near = difflib.get_close_matches(key, [p for p in BY_PATH if _may_vary(p)], 1, 0.4)
        raise _refusal(key, f"{key} is not a key of the brief{f'; did you mean {near[0]}?' if near else '.'}")
    if not _may_vary(key):
        raise _refusal(key, f"{key} cannot vary in a search: only sizes and choices of frame, braces and feet can.")
    present = value_of(brief, key)
    values = _usual(brief, key, present) if options is None else _typed(key, info.kind, options, brief.units)
    if present not in values:
        values = [present, *values]
    if all(isinstance(v, (int, float)) for v in values):
        values = sorted(values)
    values = list(dict.fromkeys(values))
    if len(values) > _MOST_OPTIONS:
        raise _refusal(key, f"{key} has {len(values)} options; {_MOST_OPTIONS} at most.")
    return Choice(key=key, label=info.label, options=tuple(values), present=values.index(present))


def _may_vary(key: str) -> bool:
    if key in _FIXED or not key.startswith(_VARIABLE):
        return False
    return isinstance(BY_PATH[key].kind, (ChoiceKind, Count, Angle, Length, ProfileName))


def _refusal(key: str, message: str, allowed: str = "", nearest: str = "") -> BriefError:
    return BriefError((Finding(code="search.vary", field=key, message=message, allowed=allowed, nearest=nearest),))


def _typed(key: str, kind: Any, options: Sequence[Any], system: str) -> list[Any]:
    if not options:
        raise _refusal(key, f"{key} has no options; give some or leave the list out.")
    out: list[Any] = []
    for typed in options:
        ends = typed.split("..") if isinstance(typed, str) and isinstance(kind, (Length, Angle)) else [typed]
        if len(ends) > 2:
            raise _refusal(key, f"{key}: {typed!r:.60} is no range; a range reads 150..350.")
        values = [_read(key, kind, e, system) for e in ends]
        if len(values) == 2:
            low, high = values
            values = [round(low + (high - low) * k / (_PLACES - 1), 3) for k in range(_PLACES)]
        out += values
    return out


def _read(key: str, kind: Any, typed: Any, system: str) -> Any:
    try:
        return kind.read(_number(typed.strip(), kind) if isinstance(typed, str) else typed, system)
    except Refusal as fault:
        message = f"{key} {fault}"
        raise _refusal(
            key, message + ("" if message.endswith((".", "?")) else "."), fault.allowed,
            fault.nearest,
        ) from fault  # fmt: skip


def _number(text: str, kind: Any) -> Any:
    """A bare number of a length is in mm, of an angle in degrees, as in the file of a brief."""
    try:
        return float(text) if isinstance(kind, (Length, Angle)) else text
    except ValueError:
        return text


def _usual(brief: Brief, key: str, present: Any) -> list[Any]:
    kind = BY_PATH[key].kind
    if isinstance(kind, ProfileName):
        return list(profiles_like(brief, present))
    if key in ("braces.front", *SIDES):
        return list(dict.fromkeys(["none", present, "diagonal"]))
    if isinstance(kind, ChoiceKind):
        return list(kind.options)
    low, high = kind.low, kind.high
    if isinstance(kind, SheetThickness):
        system = "metric" if brief.units == "metric" else "inch"
        sold = sorted({present, *(s.thickness for s in map(sheet, sheets(system)))})
        at = sold.index(present)
        return [v for v in sold[max(0, at - 1) : at + 3] if low <= v <= high]
    if isinstance(kind, (Count, Angle)):
        by = 1 if isinstance(kind, Count) else _TURN
        return [v for v in (present - by, present, present + by) if low <= v <= high]
    step = step_of(brief, key)
    return [v for v in (present - step, present, present + step) if low <= v <= high and v > 0]


def step_of(brief: Brief, key: str) -> float:
    """Return how far a length is tried either way, mm: a round number of the brief's units."""
    if key in _STEPS:
        return round_step(_STEPS[key], brief.units)
    tenth = float(value_of(brief, key)) / 10
    return max(10.0, round(tenth, -1)) if brief.units == "metric" else max(0.5, round(tenth / INCH)) * INCH


def profiles_like(brief: Brief, present: str) -> tuple[str, ...]:
    """Return what may stand in place of a profile, lightest first, itself among it.

    Where the brief says which profiles are sold, those of the same shape; what lies on the rack too. Else the next two
    sizes up and down with the same wall, and the next walls of the same size.
    """
    own = summary(present)
    named = [s.profile for s in brief.steel.sold if s.profile]
    rack = [r.profile for r in brief.steel.rack]
    found = {present, *(p for p in (*named, *rack) if summary(p).shape == own.shape)}
    if not any(summary(p).shape == own.shape for p in named):
        found |= set(_neighbours(present))
    return tuple(sorted(found, key=lambda p: (round(summary(p).kg_per_m, 6), p)))


@lru_cache(maxsize=256)
def _neighbours(present: str) -> tuple[str, ...]:
    """The next two sizes up and down with the same wall and the next walls of the same size."""
    own = summary(present)
    alike = [
        s for s in map(summary, profiles(own.shape, own.system))
        if s.standard == own.standard and abs(s.height * own.width - s.width * own.height) < 0.02 * own.height * own.width
    ]  # fmt: skip
    same_wall = sorted((s for s in alike if abs(s.wall - own.wall) < 0.01), key=lambda s: s.height)
    at = [s.id for s in same_wall].index(own.id)
    walls = sorted((s for s in alike if (s.height, s.width) == (own.height, own.width)), key=lambda s: s.wall)
    here = [s.id for s in walls].index(own.id)
    near = same_wall[max(0, at - 2) : at + 3] + walls[max(0, here - 1) : here + 2]
    return tuple(s.id for s in near)

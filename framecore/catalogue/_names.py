"""Finds the profile a person means: "50x50x3 square tube", '2 x 2 x 1/8"', "hss2x2x.125", "UPN80"."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache, lru_cache
from math import log

from framecore.catalogue._tables import TUBE_GAUGE_IN, Row, rows
from framecore.catalogue.model import Shape
from framecore.errors import CatalogueError

_ANY_TUBE = ("SHS", "RHS", "CHS", "HSS", "TUBE")
# what a word says about the prefix of the id
_WORDS: dict[str, tuple[str, ...]] = {
    "shs": ("SHS",),
    "rhs": ("RHS",),
    "chs": ("CHS",),
    "hss": ("HSS",),
    "tube": _ANY_TUBE,
    "tubing": _ANY_TUBE,
    "box": _ANY_TUBE,
    "pipe": ("PIPE", "CHS"),
    "l": ("L",),
    "angle": ("L",),
    "fl": ("FL",),
    "fb": ("FB",),
    "flat": ("FL", "FB"),
    "c": ("C",),
    "mc": ("MC",),
    "u": ("U", "UPN"),
    "upn": ("UPN",),
    "channel": ("C", "MC", "U", "UPN"),
    "rd": ("RD",),
    "rb": ("RB",),
    "sq": ("SQ",),
    "sb": ("SB",),
    "rod": ("RD", "RB"),
    "round": ("RD", "RB", "CHS", "TUBE", "HSS", "PIPE"),
    "rectangular": ("RHS", "HSS", "TUBE"),
    "rectangle": ("RHS", "HSS", "TUBE"),
    "square": ("SQ", "SB", "SHS", "HSS", "TUBE"),
    "bar": ("RD", "RB", "SQ", "SB", "FL", "FB"),
}
_SYSTEM = {"mm": "metric", "in": "inch", "inch": "inch", "inches": "inch"}
_SCHEDULES = ("std", "xs")
# words that say nothing; any other word means a kind the catalogue does not hold ("IPE 80" is no channel)
_IDLE = frozenset(
    (
        *("steel", "iron", "mild", "cold", "hot", "rolled", "formed", "drawn", "finished", "hollow", "erw"),
        *("structural", "section", "profile", "equal", "unequal", "leg", "legs", "a", "of", "x"),
        *_SCHEDULES,
        *_SYSTEM,
    )
)
_GAUGE = re.compile(r"(\d+)\s*(?:gauge|gage|ga)\b")
_NUMBER = re.compile(r"(?:(\d+)[\s-]+)?(\d+)/(\d+)|(\d*\.\d+|\d+)")
_TIMES = re.compile(r"(?<=[\d\s\"@])\s*x\s*(?=[\d.@])")


@dataclass(frozen=True, slots=True)
class _Request:
    prefixes: tuple[str, ...]  # empty: any
    system: str  # "" unless a unit was written
    sizes: tuple[float, ...]
    schedule: str  # of pipe
    strange: bool  # a word or size nobody can read: nothing fits


def _value(text: str) -> float | None:
    gauge = text.strip().removeprefix("@")
    if gauge != text.strip():
        return TUBE_GAUGE_IN.get(int(gauge))
    match = _NUMBER.search(text)
    if match is None:
        return None
    whole, top, bottom, plain = match.groups()
    if plain is not None:
        return float(plain)
    if not int(bottom):
        return None
    return float(whole or 0) + float(top) / float(bottom)


def _read(text: str) -> _Request:
    """Split into words and sizes."""
    t = text.lower().replace("×", "x").replace("*", "x").replace("”", '"').replace("″", '"').replace(",", ".")
    t = re.sub(r"(?<=\d)\s*mm\b", " mm", t)
    system = "inch" if '"' in t or _GAUGE.search(t) else ""
    t = re.sub(r"\bastm\b", " ", t).replace("a500", " hss ").replace("a513", " tube ")
    t = _GAUGE.sub(r"@\1", t)
    for word in re.findall(r"[a-z]+", t):
        system = _SYSTEM.get(word, system)
    # units go before the sizes are parted: "50 mm x 50 mm x 3 mm"
    t = re.sub(r"\b(mm|inches|inch|in)\b", " ", t.replace('"', " "))
    t = _TIMES.sub("|", t)
    words = re.findall(r"[a-z]+", t)
    prefixes: tuple[str, ...] = ()
    strange = False
    for word in words:
        meant = _WORDS.get(word, _WORDS.get(word.removesuffix("s"), ()))
        strange = strange or not (meant or word in _IDLE)
        both = tuple(p for p in prefixes if p in meant)
        prefixes = (both or prefixes) if meant and prefixes else prefixes or meant
    sizes = [_value(part) for part in t.split("|")]
    return _Request(
        prefixes,
        system,
        tuple(s for s in sizes if s is not None),
        next((w for w in words if w in _SCHEDULES), ""),
        strange or None in sizes,
    )


def _prefix(name: str) -> str:
    match = re.match(r"[A-Z]+", name)
    return match.group() if match else ""


def _key(sizes: tuple[float, ...]) -> tuple[int, ...]:
    """Sizes to a ten-thousandth, so that .125, 1/8 and 0.125 are one key."""
    return tuple(round(s * 1e4) for s in sizes)


def squeeze(text: str) -> str:
    """Return the text without spaces and in lower case, x for the multiplication sign."""
    return re.sub(r"\s+", "", text).lower().replace("×", "x")


@cache
def _exact() -> dict[str, str]:
    return {squeeze(name): name for name in rows()}


@cache
def _sizes() -> dict[str, tuple[float, ...]]:
    return {name: _read(name).sizes for name in rows()}


@cache
def _by_sizes() -> dict[tuple[int, ...], list[str]]:
    index: dict[tuple[int, ...], list[str]] = {}
    for name, sizes in _sizes().items():
        keys = {_key(sizes)}
        if len(sizes) == 3:
            keys.add(_key((sizes[1], sizes[0], sizes[2])))  # a 40x60 is a 60x40
        for key in keys:
            index.setdefault(key, []).append(name)
    return index


def _fits(row: Row, request: _Request) -> bool:
    if request.prefixes and _prefix(row.id) not in request.prefixes:
        return False
    if request.schedule and not row.id.lower().endswith(request.schedule):
        return False
    return not request.system or row.system == request.system


def _nearest(text: str, request: _Request) -> list[str]:
    """Return up to three ids: like kinds first by size, else by spelling."""
    kinds = [n for n, r in rows().items() if not request.prefixes or _prefix(n) in request.prefixes]
    sizes = _sizes()

    def distance(name: str) -> float:
        return sum(abs(log(a / b)) for a, b in zip(sizes[name], request.sizes, strict=True))

    if request.sizes and all(s > 0.0 for s in request.sizes):
        n = len(request.sizes)
        key = _key(request.sizes)
        longer = [m for m in kinds if len(sizes[m]) > n and _key(sizes[m][:n]) == key]
        if longer:  # the wall was left out
            return longer[:3]
        same = [name for name in kinds if len(sizes[name]) == n]
        if same:
            return sorted(same, key=distance)[:3]
    if request.prefixes:
        return kinds[:3]
    from difflib import get_close_matches  # only wanted on the way to an error

    close = get_close_matches(squeeze(text), list(_exact()), n=3, cutoff=0.5)
    return [_exact()[c] for c in close]


@lru_cache(maxsize=4096)
def find(text: str) -> str:
    """Return the id that ``text`` means.

    Raises
    ------
    CatalogueError
        With the nearest ids.
    """
    table = rows()
    exact = text if text in table else _exact().get(squeeze(text))
    if exact is not None:
        return exact
    request = _read(text)
    same_sizes = [] if request.strange else _by_sizes().get(_key(request.sizes), [])
    for name in same_sizes:
        if _fits(table[name], request):
            return name
    near = _nearest(text, request)
    hint = " Did you mean " + " or ".join(f"'{n}'" for n in near) + "?" if near else ""
    kinds = ", ".join(sorted({_prefix(n) for n in table}))
    raise CatalogueError(
        f"There is no profile '{text.strip()}' in the catalogue" + (f".{hint}" if hint else f"; names begin with {kinds}."),
        *near[:1],
    )


def select(shape: Shape | str | None, system: str | None) -> tuple[str, ...]:
    """Return the ids of one shape and system, None for all."""
    if shape is not None and shape not in list(Shape):
        raise CatalogueError(f"There is no shape '{shape}' in the catalogue; it has {', '.join(Shape)}.")
    if system not in (None, "metric", "inch"):
        raise CatalogueError(f"The system is 'metric' or 'inch', not '{system}'.")
    wanted = None if shape is None else Shape(shape)
    return tuple(
        name
        for name, row in rows().items()
        if (wanted is None or row.shape is wanted) and (system is None or row.system == system)
    )

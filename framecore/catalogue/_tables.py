"""Reads the tables of the catalogue into light rows; nothing is computed beyond unit conversion."""

from __future__ import annotations

import csv
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache

from framecore.catalogue.model import Shape

MM_PER_INCH = 25.4
KG_PER_M_PER_LB_PER_FT = 0.45359237 / 0.3048

# A gauge number of tube is the Birmingham wire gauge, not the gauge of sheet: 11 ga tube is 0.120 in thick,
# 11 ga sheet 0.1196 in; 16 ga tube 0.065 in, sheet 0.0598 in.
TUBE_GAUGE_IN = {7: 0.180, 10: 0.134, 11: 0.120, 12: 0.109, 13: 0.095, 14: 0.083, 16: 0.065, 18: 0.049}

# ASTM A500 and A53 allow the wall to be 10 % thin and mills use it: AISC computes with this share of nominal.
ERW_WALL_SHARE = 0.93

_STANDARDS = {
    ("SHS", "metric"): "EN 10219-2",
    ("RHS", "metric"): "EN 10219-2",
    ("CHS", "metric"): "EN 10219-2",
    ("L", "metric"): "EN 10056-1",
    ("FL", "metric"): "EN 10058",
    ("RD", "metric"): "EN 10060",
    ("SQ", "metric"): "EN 10059",
    ("HSS", "inch"): "ASTM A500",
    ("TUBE", "inch"): "ASTM A513",
    ("L", "inch"): "ASTM A36 bar-size angle",
    ("FB", "inch"): "ASTM A36 flat bar",
    ("RB", "inch"): "ASTM A36 round bar",
    ("SB", "inch"): "ASTM A36 square bar",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One profile as its table gives it, in mm; ``facts`` holds printed properties in mm, mm2, mm3, mm4, mm6.

    ``slope`` and ``gauge`` describe a channel's tapered flange (see `_contour.channel`); ``weight`` is the
    table's kg/m, 0 where mass follows from the area.
    """

    id: str
    shape: Shape
    system: str
    standard: str
    height: float
    width: float
    wall: float
    wall_design: float
    flange: float = 0.0
    corner: float = 0.0
    root: float = 0.0
    toe: float = 0.0
    slope: float = 0.0
    gauge: float = 0.0
    weight: float = 0.0
    facts: Mapping[str, float] | None = None
    origin: str = ""
    note: str = ""


def number(text: str) -> float:
    """Read "2", "0.120", "1/8", "1-1/2" as a number."""
    total = 0.0
    for part in text.split("-"):
        top, _, bottom = part.partition("/")
        total += float(top) / float(bottom) if bottom else float(top)
    return total


def table(name: str) -> Iterator[dict[str, str]]:
    """Yield the rows of a table in the resources, comment lines left out."""
    from importlib.resources import files  # slow to import, wanted only when a table is read

    text = files("resources").joinpath("catalogue", name).read_text(encoding="utf-8")
    yield from csv.DictReader(line for line in text.splitlines() if line and not line.startswith("#"))


def _wall_mm(text: str, scale: float) -> float:
    if text.endswith("ga"):
        return TUBE_GAUGE_IN[int(text[:-2])] * MM_PER_INCH
    return number(text) * scale


def _tube_shape(sizes: list[float]) -> Shape:
    if len(sizes) == 1:
        return Shape.ROUND_TUBE
    return Shape.SQUARE_TUBE if sizes[0] == sizes[1] else Shape.RECT_TUBE


def _tube(prefix: str, system: str, size: str, sizes: list[float], wall_text: str, wall: float) -> Row:
    shape = _tube_shape(sizes)
    share, factor, note = 1.0, 2.0, ""
    origin = "geometry"
    if shape is not Shape.ROUND_TUBE:
        origin = "geometry, outer corner radius 2 x wall"
    if prefix == "HSS":
        share = ERW_WALL_SHARE
        origin += ", wall 0.93 x nominal"
        note = (
            f"ASTM A500: nominal wall {wall:.2f} mm ({wall / MM_PER_INCH:.3f} in), properties with 0.93 x "
            f"nominal, {share * wall:.2f} mm ({share * wall / MM_PER_INCH:.3f} in)"
        )
    elif prefix == "TUBE":
        note = f"ASTM A513 mechanical tube: properties with the nominal wall, {wall / MM_PER_INCH:.3f} in"
        if wall_text.endswith("ga"):
            note += "; tube gauge is not sheet gauge"
        if shape is not Shape.ROUND_TUBE:
            factor = 1.5
            origin = "geometry, outer corner radius 1.5 x wall assumed"
    design = share * wall
    corner = 0.0 if shape is Shape.ROUND_TUBE else factor * design
    return Row(
        id=f"{prefix} {size}x{wall_text}",
        shape=shape,
        system=system,
        standard=_STANDARDS[prefix, system],
        height=sizes[0],
        width=sizes[-1],
        wall=wall,
        wall_design=design,
        flange=wall,
        corner=corner,
        root=max(corner - design, 0.0),
        origin=origin,
        note=note,
    )


def _solid(prefix: str, system: str, size: str, sizes: list[float], wall_text: str, wall: float) -> Row:
    shape = {"FL": Shape.FLAT, "FB": Shape.FLAT, "RD": Shape.ROUND_BAR, "RB": Shape.ROUND_BAR}.get(
        prefix, Shape.SQUARE_BAR
    )
    thickness = wall if shape is Shape.FLAT else sizes[0]
    return Row(
        id=f"{prefix} {size}x{wall_text}" if shape is Shape.FLAT else f"{prefix} {size}",
        shape=shape,
        system=system,
        standard=_STANDARDS[prefix, system],
        height=sizes[0],
        width=thickness,
        wall=thickness,
        wall_design=thickness,
        flange=thickness,
        origin="geometry",
    )


def _profiles() -> Iterator[Row]:
    for line in table("profiles.csv"):
        prefix, system, size = line["prefix"], line["system"], line["size"]
        scale = MM_PER_INCH if system == "inch" else 1.0
        sizes = [number(s) * scale for s in size.split("x")]
        for wall_text in line["walls"].split() or [""]:
            wall = _wall_mm(wall_text, scale) if wall_text else 0.0
            if prefix in ("SHS", "RHS", "CHS", "HSS", "TUBE"):
                yield _tube(prefix, system, size, sizes, wall_text, wall)
            elif prefix == "L":
                inch = system == "inch"
                yield Row(
                    id=f"L{'' if inch else ' '}{size}x{wall_text}",
                    shape=Shape.EQUAL_ANGLE if sizes[0] == sizes[1] else Shape.UNEQUAL_ANGLE,
                    system=system,
                    standard=_STANDARDS[prefix, system],
                    height=sizes[0],
                    width=sizes[1],
                    wall=wall,
                    wall_design=wall,
                    flange=wall,
                    root=number(line["root"]) * scale,
                    toe=number(line["toe"]) * scale,
                    origin="geometry, " + ("root and toe radius assumed" if inch else "radii of EN 10056-1"),
                    note="In no AISC table; the root radius is an assumption" if inch else "",
                )
            else:
                yield _solid(prefix, system, size, sizes, wall_text, wall)


def _channels() -> Iterator[Row]:
    for line in table("channels.csv"):
        scale = MM_PER_INCH if line["system"] == "inch" else 1.0
        mm = {k: number(line[k]) * scale for k in ("height", "width", "web", "flange", "root", "toe")}
        slope = float(line["slope"])
        upn = line["id"].startswith("UPN")
        yield Row(
            id=line["id"],
            shape=Shape.CHANNEL,
            system=line["system"],
            standard=line["standard"],
            height=mm["height"],
            width=mm["width"],
            wall=mm["web"],
            wall_design=mm["web"],
            flange=mm["flange"],
            root=mm["root"],
            toe=mm["toe"],
            slope=slope,
            gauge=0.5 * mm["width"],
            weight=float(line["weight"]) if line["weight"] else 0.0,
            facts={"j": float(line["j"]) * 1e4, "eo": float(line["eo"])},
            origin=("geometry with tapered flanges" if slope else "geometry, root radius assumed")
            + (", J of the section table, shear centre" if upn else ", J and shear centre")
            + " by finite elements",
            note="" if upn else "Sizes and radii differ between mills",
        )


def _aisc(line: dict[str, str], powers: Mapping[str, int]) -> dict[str, float]:
    return {key: float(line[key]) * MM_PER_INCH**power for key, power in powers.items()}


# printed property -> power of its length unit
_POWERS = {"area": 2, "x": 1, "ix": 4, "iy": 4, "sx": 3, "sy": 3, "zx": 3, "zy": 3, "j": 4, "cw": 6}
_ANGLE_POWERS = _POWERS | {"y": 1, "iz": 4}
_CHANNEL_POWERS = _POWERS | {"eo": 1}


def _aisc_rows() -> Iterator[Row]:
    for line in table("aisc_angles.csv"):
        height, width = float(line["b"]) * MM_PER_INCH, float(line["d"]) * MM_PER_INCH
        wall = number(line["t"]) * MM_PER_INCH
        yield Row(
            id=line["id"],
            shape=Shape.EQUAL_ANGLE if height == width else Shape.UNEQUAL_ANGLE,
            system="inch",
            standard="ASTM A36 angle",
            height=height,
            width=width,
            wall=wall,
            wall_design=wall,
            flange=wall,
            root=float(line["k"]) * MM_PER_INCH - wall,
            toe=0.5 * wall,
            weight=float(line["weight"]) * KG_PER_M_PER_LB_PER_FT,
            facts=_aisc(line, _ANGLE_POWERS),
            origin="AISC v16 table: area, centroid, second moments, moduli, J and warping",
        )
    for line in table("aisc_channels.csv"):
        mm = {k: float(line[k]) * MM_PER_INCH for k in ("d", "bf", "tw", "tf", "root", "toe")}
        yield Row(
            id=line["id"],
            shape=Shape.CHANNEL,
            system="inch",
            standard="ASTM A36 channel",
            height=mm["d"],
            width=mm["bf"],
            wall=mm["tw"],
            wall_design=mm["tw"],
            flange=mm["tf"],
            root=mm["root"],
            toe=mm["toe"],
            slope=0.0 if line["id"].startswith("MC") else 1.0 / 6.0,
            gauge=0.5 * (mm["bf"] + mm["tw"]),
            weight=float(line["weight"]) * KG_PER_M_PER_LB_PER_FT,
            facts=_aisc(line, _CHANNEL_POWERS),
            origin="AISC v16 table: area, centroid, second moments, moduli, J, shear centre and warping",
        )


def _pipes() -> Iterator[Row]:
    for line in table("pipes.csv"):
        diameter, wall = float(line["diameter"]) * MM_PER_INCH, float(line["wall"]) * MM_PER_INCH
        yield Row(
            id=line["id"],
            shape=Shape.ROUND_TUBE,
            system="inch",
            standard="ASTM A53",
            height=diameter,
            width=diameter,
            wall=wall,
            wall_design=ERW_WALL_SHARE * wall,
            flange=wall,
            origin="geometry, wall 0.93 x nominal",
            note=(
                f"Named by nominal pipe size: outside {diameter:.1f} mm, nominal wall {wall:.2f} mm, "
                f"properties with 0.93 x nominal, {ERW_WALL_SHARE * wall:.2f} mm"
            ),
        )


@cache
def rows() -> dict[str, Row]:
    """Return every profile by id: metric before inch, families in the order a shop asks for them."""
    found = [*_profiles(), *_channels(), *_aisc_rows(), *_pipes()]
    order = list(Shape)
    found.sort(key=lambda r: (r.system != "metric", order.index(r.shape), r.standard == "ASTM A513"))
    return {row.id: row for row in found}

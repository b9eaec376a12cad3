"""Bolts and tapped holes against printed tables: stripping, proof loads, torque, washers, position tolerances.

Printed by FED-STD-H28 (thread shear areas an inch of length, classes 2A and 2B), ISO 898-1 table 6 (proof loads),
ISO 965-1 (limits of 6g and 6H), ISO 7089 and ASME B18.22.1 (washers), a dealer's torque table for SAE grade 5 (K 0.2,
75 % of proof), the worked cases of ASME Y14.5 appendix B: all from memory, save where a source is named beside it.
"""

from __future__ import annotations

import pytest

from framecore.catalogue import thread
from framecore.catalogue.bolts import proof_load
from framecore.seat.bolts import PRELOAD, torque_for
from framecore.seat.holes import edge_needed, fixed_tolerance, floating_tolerance, washer
from framecore.seat.jacking import differential_rise, weld_flatness
from framecore.seat.pads import nut_strip_area, screw_strip_area, thread_limits, turns_in
from tests.validation.published import Published

H28 = "FED-STD-H28, thread shear areas, from memory"
# threads an inch; screw: least outside, least pitch diameter; nut: widest pitch diameter, widest core; printed areas
UNIFIED = {
    "1/4-20": (20, 0.2408, 0.2127, 0.2224, 0.207, "0.539", "0.368"),
    "3/8-16": (16, 0.3643, 0.3287, 0.3401, 0.321, "0.828", "0.576"),
    "1/2-13": (13, 0.4876, 0.4435, 0.4565, 0.434, "1.12", "0.779"),
}


@pytest.mark.parametrize("name", UNIFIED)
def test_thread_shear_areas(name: str) -> None:
    n, major, pitch_screw, pitch_nut, minor, nut, screw = UNIFIED[name]
    got = nut_strip_area(25.4, 25.4 / n, 25.4 * major, 25.4 * pitch_nut) / 25.4**2
    Published(quantity=f"{name} nut thread shear area an inch", printed=nut, source=H28).check(got)
    got = screw_strip_area(25.4, 25.4 / n, 25.4 * minor, 25.4 * pitch_screw) / 25.4**2
    Published(quantity=f"{name} screw thread shear area an inch", printed=screw, source=H28).check(got)


# least outside, least pitch diameter of 6g; widest core, widest pitch diameter of 6H
LIMITS = {
    "M8": ("7.760", "7.042", "6.912", "7.348"),
    "M10": ("9.732", "8.862", "8.676", "9.206"),
    "M12": ("11.701", "10.679", "10.441", "11.063"),
    "M16": ("15.682", "14.503", "14.210", "14.913"),
}


@pytest.mark.parametrize("name", LIMITS)
def test_limits_of_metric_threads(name: str) -> None:
    t = thread(name)
    lim = thread_limits(t.diameter, t.pitch)
    rows = zip(("least outside", "least pitch diameter", "widest core", "widest nut pitch diameter"), LIMITS[name],
               (lim.major, lim.pitch_screw, lim.minor, lim.pitch_nut), strict=True)  # fmt: skip
    for what, printed, got in rows:
        Published(
            quantity=f"{name} {what}", printed=printed, source="ISO 965-1 tables, from memory", widen=0.001,
            note="the table rounds each tolerance to a preferred number, up to 5 % of it",
        ).check(got)  # fmt: skip


# kN by class
PROOF = {
    "4.6": {"M6": "4.52", "M8": "8.24", "M12": "19.0", "M16": "35.3", "M20": "55.1"},
    "8.8": {"M8": "21.2", "M12": "48.9", "M16": "91.0", "M20": "147"},
    "10.9": {"M8": "30.4", "M10": "48.1", "M12": "70.0", "M16": "130", "M20": "203"},
}


@pytest.mark.parametrize(("cls", "name"), [(c, n) for c, row in PROOF.items() for n in row])
def test_proof_loads(cls: str, name: str) -> None:
    Published(
        quantity=f"{name} class {cls} proof load", printed=PROOF[cls][name], source="ISO 898-1 table 6, from memory",
        widen=0.0015, note="the table reckons with areas of three digits",
    ).check(proof_load(thread(name), cls) / 1000)  # fmt: skip


def test_proof_stress_found_in_print() -> None:
    for cls, name, printed in (("4.6", "M10", "225"), ("8.8", "M20", "600"), ("10.9", "M10", "830")):
        t = thread(name)
        Published(
            quantity=f"{name} class {cls} proof stress", printed=printed, source="ISO 898-1 as printed on mem50212.com"
        ).check(proof_load(t, cls) / t.stress_area)


# pounds clamp, lbf ft dry
GRADE5 = {"3/8-16": ("4940", "31"), "1/2-13": ("9050", "75"), "5/8-11": ("14400", "150"), "3/4-10": ("21300", "266")}
_PSI = 4.4482216152605 / 25.4**2


@pytest.mark.parametrize("name", GRADE5)
def test_torque_table_of_grade_5(name: str) -> None:
    clamp, torque = GRADE5[name]
    t = thread(name)
    load = PRELOAD * 85_000 * _PSI * t.stress_area
    source = "dealer's torque table, grade 5, 85 ksi proof, from memory"
    Published(quantity=f"{name} clamp load", printed=clamp, source=source, widen=0.002,
              note="the table has areas and loads of three digits").check(load / 4.4482216152605)  # fmt: skip
    Published(quantity=f"{name} torque", printed=torque, source=source, widen=0.003,
              note="from the rounded clamp load").check(torque_for(t.diameter, load) / 1355.8179483)  # fmt: skip


METRIC_WASHERS = {"M6": ("12", "1.6"), "M8": ("16", "1.6"), "M10": ("20", "2"), "M12": ("24", "2.5"), "M16": ("30", "3"),
                  "M20": ("37", "3")}  # fmt: skip
INCH_WASHERS = {"1/4-20": ("0.625", "0.065"), "3/8-16": ("0.812", "0.065"), "1/2-13": ("1.062", "0.095"),
                "5/8-11": ("1.312", "0.095"), "3/4-10": ("1.469", "0.134")}  # fmt: skip


@pytest.mark.parametrize("name", [*METRIC_WASHERS, *INCH_WASHERS])
def test_washers(name: str) -> None:
    inch = name in INCH_WASHERS
    outside, thick = INCH_WASHERS[name] if inch else METRIC_WASHERS[name]
    source = "ASME B18.22.1 type A narrow, from memory" if inch else "ISO 7089, from memory"
    got, scale = washer(name), 25.4 if inch else 1.0
    Published(quantity=f"{name} washer outside", printed=outside, source=source).check(got.diameter / scale)
    Published(quantity=f"{name} washer thickness", printed=thick, source=source).check(got.thickness / scale)


def test_edge_distances() -> None:
    for name, printed in (("1/2-13", "0.75"), ("5/8-11", "0.875"), ("3/4-10", "1.00")):
        need, _ = edge_needed(thread(name), thread(name).medium, "AISC 360-16")
        Published(quantity=f"{name} edge", printed=printed, source="AISC 360-16 table J3.4").check(need / 25.4)
    for name, printed in (("M16", "22"), ("M20", "26")):
        need, _ = edge_needed(thread(name), thread(name).medium, "AISC 360-16")
        Published(quantity=f"{name} edge", printed=printed, source="AISC 360-16 table J3.4M").check(need)
    need, _ = edge_needed(thread("M10"), 11.0, "EN 1993-1-1")
    Published(quantity="M10 edge, hole 11", printed="13.2", source="EN 1993-1-8 table 3.3: 1.2 d0").check(need)


def test_fastener_formulas() -> None:
    y14 = "ASME Y14.5 appendix B, worked cases, from memory"
    Published(quantity="floating, hole 0.44, bolt 0.4375", printed="0.0025", source=y14).check(
        floating_tolerance(0.44, 0.4375)
    )
    Published(quantity="fixed, hole 0.44, bolt 0.375", printed="0.0325", source=y14).check(fixed_tolerance(0.44, 0.375))
    text = "H = F + T and H = F + 2 T (g-wonlinetextbooks)"
    Published(quantity="floating, M10 medium", printed="1.0", source=text).check(floating_tolerance(thread("M10").medium, 10.0))
    Published(quantity="fixed, M10 medium", printed="0.5", source=text).check(fixed_tolerance(thread("M10").medium, 10.0))


def test_differential_screw_and_thin_walls() -> None:
    source = "hobby-machinist.com thread 92687"
    Published(quantity="differential 1.0 and 0.75", printed="0.25", source=source).check(differential_rise(1.0, 0.75))
    Published(quantity="turns of M10 in 3 mm", printed="2", source="common practice").check(turns_in(thread("M10"), 3.0))


def test_flatness_of_welded_frames() -> None:
    for length, printed in ((100.0, "1"), (300.0, "1.5"), (900.0, "3"), (1800.0, "4.5"), (3000.0, "6")):
        Published(
            quantity=f"flatness at {length:g}", printed=printed, source="ISO 13920 class F, modulusmetal.com"
        ).check(weld_flatness(length))

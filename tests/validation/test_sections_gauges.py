"""Sheet gauges, pipe walls and UPN areas against the tables of steel-sections; small angles from memory.

@misc{steelsections, title = {steel-sections: gauges.csv, pipe-schedules.csv, upn.csv},
      note = {Python package; gauges and pipe adapted from encyclopedia articles, CC BY-SA 4.0}}
"""

from __future__ import annotations

import pytest

from framecore.catalogue import profile, profiles, sheet, sheets, summary
from tests.validation.published import Published
from tests.validation.reference_data import steel_sections

LB_FT = 0.45359237 / 0.3048
GAUGES = {row["gauge"]: row for row in steel_sections("gauges")}
SCHEDULES = {(row["nps"], row["schedule"]): row for row in steel_sections("pipe-schedules")}


@pytest.mark.parametrize("name", [s for s in sheets("inch") if sheet(s).gauge])
def test_sheet_gauge(name: str) -> None:
    row = GAUGES[name.removesuffix(" ga")]
    source = "US manufacturers' standard gauge, steel-sections gauges.csv"
    Published(quantity=name, printed=row["steel_in"], source=source).check(sheet(name).thickness / 25.4)


@pytest.mark.parametrize(
    "row", [r for r in steel_sections("upn") if r["section"] in profiles("channel")], ids=str
)
def test_upn_area(row: dict[str, str]) -> None:
    got = profile(row["section"]).properties.area / 100
    note = "this table rounds the root and toe radii up to whole millimetres"
    source = "steel-sections upn.csv"
    Published(quantity=row["section"], printed=row["area_cm2"], source=source, note=note, widen=0.004).check(
        got
    )


@pytest.mark.parametrize("name", [n for n in profiles("round tube") if n.startswith("PIPE")])
def test_pipe_sizes(name: str) -> None:
    _, size, weight = name.split()
    row = SCHEDULES[size, weight]
    p = profile(name)
    source = "steel-sections pipe-schedules.csv"
    Published(quantity=f"{name} diameter", printed=row["od_in"], source=source).check(p.height / 25.4)
    Published(quantity=f"{name} wall", printed=row["wall_in"], source=source).check(p.wall / 25.4)
    Published(
        quantity=f"{name} lb/ft",
        printed=row["weight_lb_ft"],
        source=source,
        note="the pipe standard takes 10.69 (D - t) t, ours is pi (D - t) t at 7850 kg/m3",
        widen=0.0005,
    ).check(p.kg_per_m / LB_FT)


# pounds per foot of merchant angle as stock lists print them, from memory
SMALL_ANGLES = {
    "L3/4x3/4x1/8": "0.59",
    "L1x1x1/8": "0.80",
    "L1x1x3/16": "1.16",
    "L1x1x1/4": "1.49",
    "L1-1/4x1-1/4x1/8": "1.01",
    "L1-1/4x1-1/4x3/16": "1.48",
    "L1-1/4x1-1/4x1/4": "1.92",
    "L1-1/2x1-1/2x1/8": "1.23",
    "L1-1/2x1-1/2x3/16": "1.80",
    "L1-1/2x1-1/2x1/4": "2.34",
    "L1-3/4x1-3/4x1/8": "1.44",
    "L1-3/4x1-3/4x3/16": "2.12",
    "L1-3/4x1-3/4x1/4": "2.77",
}


@pytest.mark.parametrize("name", SMALL_ANGLES)
def test_small_angle_weight(name: str) -> None:
    note = "mills differ in the root radius, which is assumed here"
    Published(
        quantity=f"{name} lb/ft",
        printed=SMALL_ANGLES[name],
        source="stock lists, from memory",
        note=note,
        widen=0.015,
    ).check(summary(name).kg_per_m / LB_FT)

"""Quantities as typed and as shown."""

from __future__ import annotations

import contextlib
import math
from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from framecore.errors import UnitError
from framecore.units import (
    format_length,
    format_quantity,
    parse_angle,
    parse_force,
    parse_length,
    parse_mass,
    parse_slope,
    parse_torque,
    raised,
    typeset,
)


@pytest.mark.parametrize(
    "text", ["29 1/2 in", "2' 5-1/2\"", "2 ft 5 1/2 in", "29½ in", "29.5\"", "749.3 mm", "0.7493 m", "74.93 cm"]
)
def test_spellings_of_one_length(text: str) -> None:
    assert parse_length(text) == pytest.approx(749.3, abs=1e-9)


def test_a_bare_number_takes_the_system() -> None:
    assert parse_length("1/8", "inch") == pytest.approx(3.175)
    assert parse_length("12") == 12.0


@pytest.mark.parametrize(
    "text",
    ["", "abc", "1/0", "nan", "inf", "1e999", "1,5", "3 kg", "\0", "9" * 5000, "' '", "+-5", "--5", "-+5", "+-2' 5\""],
)
def test_what_is_no_length_gets_one_sentence(text: str) -> None:
    with pytest.raises(UnitError, match="write for example"):
        parse_length(text)


@pytest.mark.parametrize("system", ["metric", "inch", "inch decimal"])
def test_a_number_is_mm_in_every_system(system: str) -> None:
    assert parse_length(750, system) == 750.0


@pytest.mark.parametrize("parse", [parse_length, parse_mass, parse_force, parse_torque, parse_angle, parse_slope])
@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf, True, 10**400])
def test_a_number_that_is_no_quantity_is_refused(parse: Callable[[float], float], value: float) -> None:
    with pytest.raises(UnitError, match="write for example"):
        parse(value)


@pytest.mark.parametrize("system", ["metric", "inch", "inch decimal"])
@pytest.mark.parametrize(("value", "shown"), [(math.nan, "-"), (math.inf, "inf")])
def test_a_figure_without_a_value_is_shown_in_every_system(system: str, value: float, shown: str) -> None:
    assert format_quantity(value, "mm", system)[0] == shown


@given(st.text(max_size=30))
def test_any_text_is_a_finite_length_or_a_unit_error(text: str) -> None:
    with contextlib.suppress(UnitError):
        assert math.isfinite(parse_length(text))


@given(st.integers(min_value=0, max_value=4000))
def test_inch_fractions_come_back(thirty_seconds: int) -> None:
    mm = thirty_seconds * 25.4 / 32
    shown = format_length(mm, "inch")
    assert "~" not in shown
    assert parse_length(shown) == pytest.approx(mm, abs=1e-9)


def test_a_length_off_the_fractions_is_marked() -> None:
    assert format_length(750.0, "inch") == "~29 17/32 in"


def test_loads_and_slopes() -> None:
    assert parse_mass("100 lb") == pytest.approx(45.359237)
    assert parse_force("1.5 kN") == 1500.0
    assert parse_torque("30 N m") == 30.0
    assert parse_slope("1/8 in/ft") == pytest.approx(10.41667, abs=1e-5)


def test_a_ratio_has_no_unit_text() -> None:
    assert format_quantity(1.67, "1") == ("1.67", "")


def test_what_rounding_leaves_of_zero_is_shown_as_zero() -> None:
    assert format_quantity(1.7e-5, "mm/m") == ("0.00", "mm/m")
    assert format_quantity(-1.7e-5, "mm/m") == ("0.00", "mm/m")
    assert format_quantity(0.0017, "mm/m") == ("0.0017", "mm/m")


@pytest.mark.parametrize(
    ("typed", "read"),
    [("2.94 m2", "2.94 m²"), ("N mm2, kN/m2, 5 in4", "N mm², kN/m², 5 in⁴"), ("M2 of beam2, 12 mm", "M2 of beam2, 12 mm")],
)
def test_powers_of_units_are_raised(typed: str, read: str) -> None:
    assert raised(typed) == read


def test_a_times_sign_stands_between_factors_only() -> None:
    assert typeset("4 x √(30) x 2 mm2, the x axis, 60x60x3") == "4 × √(30) × 2 mm², the x axis, 60x60x3"

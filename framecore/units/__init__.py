"""Lengths, masses and loads as people type them, and how they are shown."""

from framecore.units._format import (
    format_length,
    format_quantity,
    format_round,
    format_weld,
    raised,
    round_step,
    typeset,
)
from framecore.units._parse import (
    FOOT,
    INCH,
    KILOGRAM_FORCE,
    POUND,
    POUND_FORCE,
    parse_angle,
    parse_force,
    parse_length,
    parse_mass,
    parse_slope,
    parse_torque,
)

__all__ = [
    "FOOT",
    "INCH",
    "KILOGRAM_FORCE",
    "POUND",
    "POUND_FORCE",
    "format_length",
    "format_quantity",
    "format_round",
    "format_weld",
    "parse_angle",
    "parse_force",
    "parse_length",
    "parse_mass",
    "parse_slope",
    "parse_torque",
    "raised",
    "round_step",
    "typeset",
]

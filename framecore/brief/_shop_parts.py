"""How it is bought, welded, painted and judged, and the drawing sheet."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from framecore.brief.kinds import (
    Angle,
    Choice,
    Count,
    Force,
    Length,
    Number,
    Price,
    Rack,
    RackItem,
    Sold,
    SoldLength,
    SteelName,
    Text,
)
from framecore.brief.sheet_kinds import Sheets, SoldSheet


@dataclass(frozen=True, slots=True, kw_only=True)
class SteelBrief:
    """What is sold near you and what it costs."""

    grade: Annotated[
        str,
        SteelName(label="Grade", help="Angle, bar and plate come in A36 where a tube's grade is given, and tube in A500."),
    ] = "S235"
    price_kg: Annotated[float, Price(low=0, high=1000, label="Price per kg")] = 2.2
    sheet_price_kg: Annotated[float, Price(low=0, high=1000, label="Sheet price per kg")] = 2.5
    currency: Annotated[str, Text(label="Currency")] = "EUR"
    sold: Annotated[
        tuple[SoldLength, ...], Sold(label="Lengths sold", help="Length, price; for one profile or for all.")
    ] = ()
    rack: Annotated[tuple[RackItem, ...], Rack(label="Rack", help="Offcuts on hand.")] = ()
    kerf: Annotated[float, Length(low=0, high=10, label="Kerf")] = 1.6
    trim: Annotated[float, Length(low=0, high=100, label="Trim at a mill end")] = 5.0
    plates_from: Annotated[
        str,
        Choice(
            ("cut to size", "whole sheets"), label="Plates come",
            help="Cut to size by the merchant and paid by mass, or as whole sheets that you cut yourself.",
        ),
    ] = "cut to size"
    sheets_up_to: Annotated[
        float,
        Length(
            low=0, high=100, label="Whole sheets up to",
            help="Thicker plates come cut to size even so, unless a sheet as thick is among those sold.",
        ),
    ] = 8.0
    sheets: Annotated[
        tuple[SoldSheet, ...],
        Sheets(label="Sheets sold", help="Length, width, thickness (0: all), price. Empty: the usual sizes."),
    ] = ()
    sheets_cut: Annotated[
        str,
        Choice(
            ("straight cuts", "any shape"), label="Sheets are cut by",
            help="Straight cuts from edge to edge (shear, saw), or any shape (torch, plasma, laser, jigsaw).",
        ),
    ] = "straight cuts"
    sheet_gap: Annotated[
        float, Length(low=0, high=50, label="Gap between plates on a sheet", help="At least the width of the cut.")
    ] = 5.0
    sheet_edge: Annotated[float, Length(low=0, high=100, label="Edge left on a sheet")] = 10.0
    cut_price_kg: Annotated[
        float,
        Price(
            low=0, high=1000, label="Price per kg cut to length",
            help="What the merchant asks per kg when he cuts every piece; 0: not asked.",
        ),
    ] = 0.0
    cut_fee: Annotated[float, Price(low=0, high=1000, label="Fee per cut", help="What the merchant asks for each cut.")] = 0.0
    carry: Annotated[
        float,
        Length(
            low=300, high=30000, zero=True, label="Longest you can carry",
            help="What fits the car; longer bars are cut at the merchant. 0: no limit.",
        ),
    ] = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Welding:
    """How it is welded."""

    process: Annotated[
        str, Choice(("solid wire and gas", "self-shielded wire", "stick", "TIG"), label="Process")
    ] = "solid wire and gas"
    leg: Annotated[float, Length(low=1.5, high=12, label="Fillet leg")] = 3.0
    filler_fu: Annotated[
        float, Number(low=350, high=900, unit="MPa", label="Filler tensile strength", help="E70 and G42 wires: 480 to 500.")
    ] = 482.0
    symbols: Annotated[
        str, Choice(("ISO 2553", "AWS A2.4"), label="Weld symbols by", help="How the weld map writes a weld.")
    ] = "ISO 2553"


@dataclass(frozen=True, slots=True, kw_only=True)
class Finish:
    """Paint."""

    paint: Annotated[str, Choice(("none", "brush", "spray"), label="Paint")] = "brush"
    primer_coats: Annotated[int, Count(low=0, high=4, label="Coats of primer")] = 1
    primer_film: Annotated[
        float, Number(low=5, high=500, unit="µm", label="Primer, dry film", help="Of one coat; the tin says.")
    ] = 50.0
    primer_solids: Annotated[
        float, Number(low=0.05, high=1, unit="1", label="Primer, volume solids", help="Share that stays; data sheet.")
    ] = 0.5
    top_coats: Annotated[int, Count(low=0, high=6, label="Coats of paint")] = 2
    top_film: Annotated[
        float, Number(low=5, high=500, unit="µm", label="Paint, dry film", help="Of one coat; the tin says.")
    ] = 40.0
    top_solids: Annotated[
        float, Number(low=0.05, high=1, unit="1", label="Paint, volume solids", help="Share that stays; data sheet.")
    ] = 0.45


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """What counts as good."""

    code: Annotated[
        str, Choice(("EN 1993-1-1", "AISC 360-16"), label="Member and weld checks by")
    ] = "EN 1993-1-1"
    push: Annotated[float, Force(low=0, high=5000, label="Push at the work line")] = 300.0
    sway: Annotated[float, Number(low=0, high=1e6, unit="N/mm", label="Least sway stiffness")] = 200.0
    twist: Annotated[float, Number(low=0, high=1e7, unit="N m/deg", label="Least twist stiffness")] = 500.0
    deflection: Annotated[float, Length(low=0.001, high=50, label="Most sag under a mount")] = 0.2
    frequency: Annotated[float, Number(low=0, high=500, unit="Hz", label="Least first frequency")] = 15.0
    bed_twist: Annotated[
        float, Number(low=0.001, high=20, unit="mm/m", label="Most bed twist", help="Of the machine's bed, by its stand.")
    ] = 0.05
    jack_share: Annotated[
        float, Number(low=0, high=1, unit="1", label="Least share of a jack turn that reaches the bed")
    ] = 0.5
    speed_band: Annotated[
        float, Number(low=0, high=0.6, unit="1", label="Band about running speeds to keep clear")
    ] = 0.2
    yield_margin: Annotated[float, Number(low=1, high=10, unit="1", label="Margin against yield")] = 1.67
    impact: Annotated[float, Number(low=1, high=5, unit="1", label="Impact factor at setting down")] = 2.0
    tipping_force: Annotated[float, Force(low=0, high=5000, label="Least tipping force")] = 250.0
    tipping_angle: Annotated[float, Angle(low=0, high=60, label="Least tipping angle (deg)")] = 10.0


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetBrief:
    """The drawing sheet."""

    paper: Annotated[str, Choice(("A3", "A4", "Letter", "Tabloid"), label="Paper")] = "A3"
    projection: Annotated[str, Choice(("first angle", "third angle"), label="Projection")] = "first angle"
    number: Annotated[str, Text(label="Drawing number")] = "1"
    owner: Annotated[str, Text(label="Owner")] = ""
    drawn_by: Annotated[str, Text(label="Drawn by")] = ""
    approved_by: Annotated[str, Text(label="Approved by")] = ""
    date: Annotated[str, Text(label="Date of issue")] = ""

"""The brief as values: what the maker tells us, every length already in mm.

Each field is written once, in the file of its section: its type carries the label, help, range and default rule that
the reader, the inputs of the window and the generated reference of the brief all use.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Annotated

from framecore.brief._frame_parts import (
    SIDE_BRACES,
    Braces,
    Casters,
    Extras,
    Feet,
    FrameBrief,
    Mounting,
    Sections,
    Top,
)
from framecore.brief._machine import KINDS, Floor, Machine, Operator
from framecore.brief._shop_parts import Finish, Limits, SheetBrief, SteelBrief, Welding
from framecore.brief.kinds import Choice, MovingLoad, OutlineBox, RackItem, SoldLength, Text
from framecore.brief.sheet_kinds import SoldSheet

__all__ = [
    "KINDS",
    "SIDE_BRACES",
    "Braces",
    "Brief",
    "Casters",
    "Extras",
    "Feet",
    "Finish",
    "Floor",
    "FrameBrief",
    "Limits",
    "Machine",
    "Mounting",
    "MovingLoad",
    "Operator",
    "OutlineBox",
    "RackItem",
    "Sections",
    "SheetBrief",
    "SoldLength",
    "SoldSheet",
    "SteelBrief",
    "Top",
    "Welding",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Brief:
    """Everything the maker told us, resolved.

    ``assumed``: dotted paths of the keys that were not given and took their typical value.
    ``lines``: dotted path -> 1-based line in the file, where known. ``typed``: dotted path -> text as typed.
    """

    title: Annotated[str, Text(label="Title")] = "Stand"
    units: Annotated[str, Choice(("metric", "inch", "inch decimal"), label="Units")] = "metric"
    machine: Machine = field(default_factory=Machine)
    operator: Operator = field(default_factory=Operator)
    floor: Floor = field(default_factory=Floor)
    frame: FrameBrief = field(default_factory=FrameBrief)
    braces: Braces = field(default_factory=Braces)
    extras: Extras = field(default_factory=Extras)
    casters: Casters = field(default_factory=Casters)
    top: Top = field(default_factory=Top)
    mounting: Mounting = field(default_factory=Mounting)
    feet: Feet = field(default_factory=Feet)
    steel: SteelBrief = field(default_factory=SteelBrief)
    welding: Welding = field(default_factory=Welding)
    finish: Finish = field(default_factory=Finish)
    limits: Limits = field(default_factory=Limits)
    sheet: SheetBrief = field(default_factory=SheetBrief)
    assumed: frozenset[str] = field(default=frozenset(), compare=False)

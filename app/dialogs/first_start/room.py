"""How large a stand has to be for the holes that were told, so that nobody begins with one that cannot be drilled."""

from __future__ import annotations

import math

from framecore.brief.model import Brief
from framecore.units import INCH

# The bearers or rails under the outermost holes and the ring's own rails beside or around them, mm (tried for every kind).
BESIDE = {"frame.length": 200.0, "frame.depth": 150.0}


def room_for(brief: Brief, path: str) -> float:
    """Return the length or depth that the hole pattern needs, mm: a round number of the brief's units."""
    axis = 0 if path == "frame.length" else 1
    places = [hole[axis] for hole in brief.machine.holes] or [0.0]
    span = max(places) - min(places) + 2 * abs(brief.machine.at[axis])  # the pattern's middle lies there on the stand
    step = INCH if brief.units.startswith("inch") else 10.0
    return math.ceil((span + BESIDE[path]) / step - 1e-9) * step

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
    reach = max((abs(hole[axis]) for hole in brief.machine.holes), default=0.0)
    step = INCH if brief.units.startswith("inch") else 10.0
    return math.ceil((2 * reach + BESIDE[path]) / step - 1e-9) * step

"""What is lifted and carried: each assembly, the stand and the machine; how many people, or a hoist.

Source: NIOSH lifting equation, revised 1991 (23 kg times horizontal, vertical and distance multipliers), as printed in
ergonomics texts; shared lifts two thirds and half of the sum of the persons (HSE guidance on team handling, from memory).
"""

from __future__ import annotations

import math

from framecore.shop.work import Lift
from framecore.units import POUND

LOAD_CONSTANT = 23.0  # kg
# Of what each could lift alone (HSE L23 on team handling, from memory; four as three).
TEAM = {1: 1.0, 2: 2 / 3, 3: 0.5, 4: 0.5}
MOST_PEOPLE = 4  # more than these get in each other's way round a stand (common practice)
EDGE = 30.0  # cm from the ankles to hands at the edge of what is carried (common practice)
ALONE = 20.0  # cm from the ankles to the near side of what one person holds by its middle (common practice)
ROLLED = "use a dolly, skids or a hoist, or carry it in parts"
HOISTED = "use a hoist, or lift it in parts"
DOOR_HEIGHT = 1950.0  # clear height of a house door, mm (common practice)
SOURCE = "NIOSH 1991 lifting equation; team handling HSE L23, from memory"


def recommended(reach_cm: float, from_cm: float, to_cm: float) -> float:
    """Return the recommended weight of one lift by one person, kg.

    Parameters
    ----------
    reach_cm : hands before the ankles; ``from_cm`` hands over the floor at the start; ``to_cm`` at the end

    Notes
    -----
    ``23 (25 / H) (1 - 0.003 |V - 75|) (0.82 + 4.5 / D)``, one lift now and then, good grip, no turning.

    Source: NIOSH 1991 equation.
    """
    h, d = max(reach_cm, 25.0), max(abs(to_cm - from_cm), 25.0)
    if h > 63.0 or from_cm > 175.0:
        return 0.0
    return LOAD_CONSTANT * (25.0 / h) * (1 - 0.003 * abs(from_cm - 75.0)) * (0.82 + 4.5 / d)


def lift(
    name: str, mass: float, depth: float, from_mm: float, to_mm: float, units: str = "metric", otherwise: str = ROLLED
) -> Lift:
    """Say how many people lift something, or that a hoist does.

    Parameters
    ----------
    depth : of the thing from the hands to its far side, mm: who is alone holds it in its middle
    units : of the words
    otherwise : what is done where four people are not enough

    Notes
    -----
    Two and more hold it at its edges, hands ``EDGE`` before their ankles, and share it as ``TEAM`` says.
    """
    alone = recommended(ALONE + depth / 20, from_mm / 10, to_mm / 10)
    at_edge = recommended(EDGE, from_mm / 10, to_mm / 10)
    most = {n: n * TEAM[n] * (alone if n == 1 else at_edge) for n in TEAM}
    own = _mass(mass, units)
    for people, least in most.items():
        if mass <= least:
            who = "one person" if people == 1 else f"{people} people, one at each end" if people == 2 else f"{people} people"
            text = f"{who}, up to {_mass(least, units)} by the guideline"
            return Lift(name=name, mass=mass, people=people, text=text, source=SOURCE)
    text = f"{own} is more than the guideline of {_mass(most[MOST_PEOPLE], units)} for {MOST_PEOPLE} people: {otherwise}"
    return Lift(name=name, mass=mass, people=0, text=text, source=SOURCE)


def _mass(kg: float, units: str) -> str:
    return f"{kg / POUND:.0f} lb" if units.startswith("inch") else f"{kg:.0f} kg"


def passage(size: tuple[float, float, float]) -> tuple[float, float]:
    """Return the least clear width of a door that a box passes, and how high it is then, mm; on end if need be.

    It goes through by its two smaller measures, the longest one ahead, the smaller across the door where the other is no
    higher than ``DOOR_HEIGHT``.
    """
    small, middle, _ = sorted(size)
    return (small, middle) if middle <= DOOR_HEIGHT else (middle, small)


def hook_height(machine_height: float, sling: float = 500.0, seat: float = 0.0) -> float:
    """Return how high a hoist's hook must go to set the machine on the stand, mm: seat, machine, sling, 100 to clear."""
    return seat + machine_height + sling + 100.0


def sling_angle(spread: float, sling: float) -> float:
    """Return the angle of each sling leg from upright, rad."""
    return math.asin(min(spread / 2 / sling, 1.0))

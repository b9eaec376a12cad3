"""What is lifted and carried: each assembly, the stand and the machine; how many people, or a hoist.

Source: NIOSH lifting equation, revised 1991 (23 kg times horizontal, vertical and distance multipliers), as printed in
ergonomics texts; shared lifts two thirds and half of the sum of the persons (HSE guidance on team handling, from memory).
"""

from __future__ import annotations

import math

from framecore.shop.work import Lift

LOAD_CONSTANT = 23.0  # kg
TEAM = {1: 1.0, 2: 2 / 3, 3: 0.5}  # of what each could lift alone (HSE L23 paragraph on team handling, from memory)
MOST_PEOPLE = 3  # more than these get in each other's way round a stand (common practice)
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


def lift(name: str, mass: float, depth: float, from_mm: float, to_mm: float) -> Lift:
    """Say how many people lift something, or that a hoist does.

    Parameters
    ----------
    depth : of the thing from the hands to its far side, mm: half of it lies before the hands
    """
    reach = 20.0 + min(depth / 20.0, 43.0)  # ankles to the thing 20 cm, then to its middle
    one = recommended(reach, from_mm / 10, to_mm / 10)
    for people in range(1, MOST_PEOPLE + 1):
        if mass <= people * TEAM[people] * one:
            span = f"from {from_mm:.0f} to {to_mm:.0f} mm"
            text = f"{_people(people)}; one person alone may lift {one:.0f} kg of this size {span}"
            return Lift(name=name, mass=mass, people=people, text=text, source=SOURCE)
    text = f"a hoist or crane: three people may lift {3 * TEAM[3] * one:.0f} kg of this size"
    return Lift(name=name, mass=mass, people=0, text=text, source=SOURCE)


def _people(n: int) -> str:
    return "one person" if n == 1 else f"{n} people"


def door_width(size: tuple[float, float, float]) -> float:
    """Return the least clear width of a door that a box passes, on end if need be: its middle measure, mm.

    A box goes through a high door by its two smaller measures; the width is the smaller of those that fit the height.
    """
    return sorted(size)[0] if sorted(size)[1] <= DOOR_HEIGHT else sorted(size)[1]


DOOR_HEIGHT = 1950.0  # clear height of a house door, mm (common practice)


def hook_height(machine_height: float, sling: float = 500.0, seat: float = 0.0) -> float:
    """Return how high a hoist's hook must go to set the machine on the stand, mm: seat, machine, sling, 100 to clear."""
    return seat + machine_height + sling + 100.0


def sling_angle(spread: float, sling: float) -> float:
    """Return the angle of each sling leg from upright, rad."""
    return math.asin(min(spread / 2 / sling, 1.0))

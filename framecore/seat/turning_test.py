"""The two-collar turning test: what a taper says of the bed's twist, and what of it the bar's own bending explains.

A bar stands out of the chuck with no tailstock; two collars are turned at one setting of the tool. Where the bed
is twisted the tool tip, at height h above the line the bed twists about, moves to or from the axis on its way.

    dD = 2 h phi' Lc   taper of diameter over the distance Lc between the collars, phi' twist per length of bed
    s = phi' Lb        twist over the whole bed between its end mounts

Source: geometry; positive twist (right end rolled with its top to the front) turns the free end larger with a
front tool post. Bending of the bar by the cut: F a^3 / (3 E I) at the tool, statics.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from framecore.errors import UnitError

STEEL_E = 205_000.0
MOST_SLENDER = 4.0  # overhang over diameter beyond which the bar's own bending shows: common practice
LIGHT_CUT = 20.0  # N across the bar, a light finishing cut (assumed)
WAYS_SHARE = 0.4  # height of the axis above the ways over that above the machine's feet (assumed)


@dataclass(frozen=True, slots=True, kw_only=True)
class TurningTest:
    """Two collars as measured. Lengths mm, ``force`` N.

    Attributes
    ----------
    near, free : diameters of the collar at the chuck and at the free end; ``within`` either way of each
    between : from collar to collar; ``overhang`` from the jaws to the free collar; ``bar`` diameter
    """

    near: float
    free: float
    between: float
    overhang: float
    bar: float
    within: float = 0.005
    force: float = LIGHT_CUT


@dataclass(frozen=True, slots=True, kw_only=True)
class TurningAnswer:
    """What the test says.

    Attributes
    ----------
    taper : free less near, mm of diameter; ``within`` of it
    bending : the part of it that the cut bends the bar for, mm of diameter; ``slender`` overhang over diameter
    twist, low, high : of the bed between its end mounts, mm/m, and its interval
    heights : least and greatest height of the axis above the line the bed twists about, mm
    """

    taper: float
    within: float
    bending: float
    slender: float
    twist: float
    low: float
    high: float
    heights: tuple[float, float]


def bar_bending(force: float, reach: float, diameter: float) -> float:
    """Return how far a steel bar held at one end gives at ``reach`` under the tool there, mm."""
    return force * reach**3 / (3 * STEEL_E * math.pi * diameter**4 / 64)


def checked(test: TurningTest) -> TurningTest:
    """Return the test where it can have been made.

    Raises
    ------
    UnitError
        A measure nobody can have taken; one sentence.
    """
    for word, value, low, high in (
        ("the collar at the chuck", test.near, 3, 300), ("the free collar", test.free, 3, 300),
        ("the distance between the collars", test.between, 10, 1500), ("the bar's diameter", test.bar, 3, 300),
        ("the overhang", test.overhang, 10, 2000), ("the cut's force", test.force, 0, 2000),
        ("the measuring error", test.within, 0, 0.5),
    ):  # fmt: skip
        if not low <= value <= high:
            unit = "N" if "force" in word else "mm"
            near = min(max(value, low), high)
            raise UnitError(f"{word} is {value:g} {unit}; allowed: {low:g} to {high:g} {unit}, nearest {near:g} {unit}.")
    if test.between > test.overhang:
        raise UnitError(
            f"collars {test.between:g} mm apart do not fit on a bar whose free collar is {test.overhang:g} mm out of the jaws; "
            f"allowed between: up to {test.overhang:g} mm, or an overhang of {test.between:g} mm and more."
        )
    if abs(test.free - test.near) > 1.0:
        raise UnitError(
            f"the collars differ by {abs(test.free - test.near):.3g} mm; allowed: up to 1 mm. Turn both at one setting of "
            "the tool, else the step says nothing of the bed."
        )
    return test


def taper_of_twist(twist: float, height: float, between: float, bed: float) -> float:
    """Return the taper of diameter, mm, that a twist of ``twist`` mm/m over the length ``bed`` makes over ``between``."""
    return 2 * height * (twist / 1000 / bed) * between


def answer(test: TurningTest, bed: float, heights: tuple[float, float]) -> TurningAnswer:
    """Return the twist of a bed of length ``bed`` between its end mounts.

    Parameters
    ----------
    heights : axis above the ways and above the machine's feet: the bed's twist axis lies between, and the best
        guess is the middle. The bending of the bar is taken off; the interval holds none and all of it.

    Raises
    ------
    UnitError
        As ``checked``; or heights that are not positive.
    """
    test = checked(test)
    least, most = min(heights), max(heights)
    if least <= 0:
        raise UnitError(f"the axis stands {least:g} mm above the ways or feet; allowed: more than 0 mm.")
    near_reach = test.overhang - test.between
    bending = 2 * (bar_bending(test.force, test.overhang, test.bar) - bar_bending(test.force, near_reach, test.bar))
    taper, spread = test.free - test.near, 2 * test.within

    def twist(dd: float, h: float) -> float:
        return dd / (2 * h * test.between) * bed * 1000

    ends = [twist(dd, h) for dd in (taper - bending - spread, taper + spread) for h in (least, most)]
    return TurningAnswer(
        taper=taper, within=spread, bending=bending, slender=test.overhang / test.bar,
        twist=twist(taper - bending, (least + most) / 2), low=min(ends), high=max(ends), heights=(least, most),
    )  # fmt: skip

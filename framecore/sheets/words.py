"""Words of the sheets: lengths in the brief's units, cautions, notes."""

from __future__ import annotations

from collections.abc import Callable

from framecore.errors import Severity
from framecore.shop import cautions as shop
from framecore.stand.model import Stand
from framecore.units import POUND, format_length, format_weld

UNITS = {"metric": "mm", "inch": "inch", "inch decimal": "inch"}
TOLERANCE = "ISO 13920-B; sawn ISO 2768-c"


def length_words(stand: Stand) -> Callable[[float], str]:
    """Return how a length, mm, is written: in the unit of the title block, which is not repeated."""
    units = stand.brief.units
    if units == "metric":
        return lambda mm: f"{round(mm, 1):g}"
    return lambda mm: format_length(mm, units, unit=False)


def mass_words(stand: Stand, kg: float) -> str:
    """Return a mass in whole kilograms or pounds."""
    inch = stand.brief.units.startswith("inch")
    return f"{kg / POUND:.0f} lb" if inch else f"{kg:.0f} kg"


def mass_unit(stand: Stand) -> tuple[float, str]:
    """Return the kg of one unit of mass as it is read, and its name."""
    return (POUND, "lb") if stand.brief.units.startswith("inch") else (1.0, "kg")


def cautions(stand: Stand) -> list[tuple[str, bool]]:
    """Sentences for the first page and whether they are set bold: what forbids building comes first."""
    stops = [f.message for f in stand.findings if f.severity is Severity.STOP]
    frame, machine = mass_words(stand, stand.solids.mass), stand.brief.machine.mass
    load = f"Frame {frame}: {_who(stand)}"
    if machine:
        load += f"; machine {mass_words(stand, machine)}, slung as its manual says"
    out = [(f"Do not build as drawn: {m}", True) for m in stops]
    out += [
        (f"{load}.", False),
        (_HOLD[_stands_how(stand)], False),
        ("No certificate; the machine's manual and local codes hold.", False),
    ]
    return out


def _stands_how(stand: Stand) -> str:
    """Return "bolted", "resting" (on its places, unscrewed) or "none" where no machine stands on it."""
    mounts = stand.frame.mounts
    if mounts and not any(m.hole for m in mounts):
        return "resting"
    # A machine whose hole pattern is not told yet is bolted down all the same.
    return "bolted" if mounts or stand.brief.machine.mass > 0.0 else "none"


_HOLD = {
    "bolted": "Hold the stand against tipping until the machine is bolted down.",
    "resting": "Nothing is bolted to it: hold the stand against tipping until the load rests on all its places.",
    "none": "Hold the stand against tipping until all its feet bear.",
}
_SETTING_DOWN = {
    "bolted": "Tipping: set the machine down centred, keep it slung until every holding-down bolt is tight.",
    "resting": "Tipping: set the load down centred and level, keep it slung until it rests on all its places and does not "
    "rock. It lies there unscrewed: never push, lift or move the stand under it.",
    "none": "Tipping: no machine holds it down; level it so that every foot bears before anything is laid on it.",
}


def _who(stand: Stand) -> str:
    """Who lifts the frame; said alike wherever it is said."""
    lift = next(x for x in stand.work().lifts if x.name == "stand")
    if lift.people == 0:
        return "by hoist, dolly or in parts"
    return "one person lifts it" if lift.people == 1 else f"{lift.people} people to lift it"


def _lifting(stand: Stand) -> str:
    """How the frame and what stands on it are lifted."""
    text = f"Lifting: the frame is {mass_words(stand, stand.solids.mass)}: {_who(stand)}; "
    if _stands_how(stand) != "none":
        return text + "sling the machine where its manual says and never stand under it."
    return text + "never stand under it."


def notes(stand: Stand) -> list[str]:
    """Notes and cautions for the shop."""
    welding, units = stand.brief.welding, stand.brief.units
    out = [
        "Weld sizes, jacking and foot data as in the brief; all sizes before paint. "
        f"Fillet leg {format_weld(welding.leg, units)}, {welding.process}, unless said otherwise.",
        "Measure every bar and the square of every tube before sawing; tack the whole frame, check the "
        "diagonals, then weld.",
        _lifting(stand),
        _SETTING_DOWN[_stands_how(stand)],
        shop.fume(units),
        shop.zinc(units),
        shop.GRINDING,
        shop.SOLVENT,
        shop.CLOSED,
        shop.MANUAL,
    ]
    return out + [f.message for f in stand.findings]

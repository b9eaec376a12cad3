"""A machine's typical shape goes with its own holes: where they lie and how far apart they are is known first."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace

from framecore.brief.model import Machine

LEAST, MOST = 0.25, 4.0  # beyond that the holes say nothing about the machine's size


def following_holes(machine: Machine, usual: Machine, given: Collection[str]) -> Machine:
    """Return ``machine`` with the outline and the centre of mass that nobody gave moved and stretched with its holes.

    Parameters
    ----------
    machine : as read, typical values in it
    usual : all typical, with the holes that the typical outline and centre of mass belong to
    given : keys that were typed
    """
    if "holes" not in given or not machine.holes or not usual.holes:
        return machine
    own, typical = (list(zip(*m.holes, strict=True))[:2] for m in (machine, usual))
    middles, spans = zip(*((((min(v) + max(v)) / 2), max(v) - min(v)) for v in (*own, *typical)), strict=True)
    grown = [min(max(a / b, LEAST), MOST) if a > 0 and b > 0 else 1.0 for a, b in zip(spans[:2], spans[2:], strict=True)]

    def moved(at: tuple[float, float, float]) -> tuple[float, float, float]:
        x, y = (middles[k] + grown[k] * (at[k] - middles[k + 2]) for k in (0, 1))
        return x, y, at[2]

    outline, heart = machine.outline, machine.centre_of_mass
    if "outline" not in given:
        outline = tuple(
            replace(box, at=moved(box.at), size=(grown[0] * box.size[0], grown[1] * box.size[1], box.size[2]))
            for box in machine.outline
        )
    if "centre_of_mass" not in given:
        heart = moved(machine.centre_of_mass)
    return replace(machine, outline=outline, centre_of_mass=heart)

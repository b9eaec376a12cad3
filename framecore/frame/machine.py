"""Where the machine stands on the stand: the one place that turns its axes into the stand's."""

from __future__ import annotations

from framecore.brief.model import Brief
from framecore.frame.model import Vector


def machine_datum(brief: Brief, seat: float) -> Vector:
    """Return where the machine's datum lies in the stand's axes, mm.

    The middle of its hole pattern stands at ``machine.at`` (the datum itself where there are no holes), its
    feet lie the jacking gap above the ``seat``.
    """
    xs = [h[0] for h in brief.machine.holes] or [0.0]
    ys = [h[1] for h in brief.machine.holes] or [0.0]
    x, y = brief.machine.at
    return (x - (min(xs) + max(xs)) / 2, y - (min(ys) + max(ys)) / 2, seat + brief.mounting.jack)


def centre_on_stand(brief: Brief, seat: float) -> Vector:
    """Return where the machine's centre of mass lies in the stand's axes, mm."""
    (x, y, z), (a, b, c) = machine_datum(brief, seat), brief.machine.centre_of_mass
    return (x + a, y + b, z + c)

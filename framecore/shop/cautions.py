"""The cautions that belong to the work, each written once; sheets and steps set them where the work can hurt.

Source: common practice of the trade; 11 m clear of what burns and the watch afterwards from hot-work rules (OSHA text,
NFPA 51B, the hour from memory). Local rules, labels and manuals go before.
"""

from __future__ import annotations

from framecore.shop._say import about

SAWING = "Saw with the guard down, the bar clamped and its far end held up; edges come off the saw hot and sharp."
GRINDING = "Face shield and ear defenders, guard on the wheel; stand out of the plane of the wheel, sparks away from people."
DRILLING = "Clamp the work; no gloves or loose sleeves at a turning drill."
SOLVENT = (
    "No cleaner with chlorine anywhere near welding: an arc turns its vapour into poisonous gas. Solvents burn: air, no "
    "flame, rags into a closed tin."
)
CLOSED = "A closed hollow part bursts when it is heated: every hollow piece keeps a vent hole until it has cooled."
PAINT = "Paint in moving air, with the mask the tin asks for; no flame, no welding beside it. The tin's label goes before."
LIFT = "Nothing and nobody under a load; push low, never at the top; one person gives the word."
SLING = (
    "Sling the machine where its manual says, over its centre of mass, and keep the slings tight until every holding-down "
    "bolt is tight."
)
REST = "Keep it slung until it rests on all its places and does not rock; it lies there unscrewed."
PLUG = "Pull the plug before a hand goes into the machine; wiring and earthing by someone qualified, to local rules."
MANUAL = "The machine's manual and local codes go before this sheet; no figure here is a certificate."


def fume(units: str) -> str:
    """Return what an arc does to lungs, eyes and what can burn, in the brief's units."""
    return (
        "Weld in moving air with your head out of the fume; skin and eyes covered, others screened from the arc. Clear what "
        f"can burn for {about(units, '11 m', '35 ft')} around, keep an extinguisher at hand and look again an hour after the "
        "last arc."
    )


def zinc(units: str) -> str:
    """Return what is done with zinc before a weld, in the brief's units."""
    off = about(units, "100 mm", "4 in")
    return f"Galvanised steel: its fume makes ill. Grind the zinc off {off} on both sides of a weld, or buy bare steel."

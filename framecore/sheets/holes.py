"""The holes of the seat, numbered, from one datum."""

from __future__ import annotations

from framecore.frame.model import PlateRole
from framecore.sheets.dims import crossings, text_box
from framecore.sheets.hidden import TOP
from framecore.sheets.model import Primitive, Text, ViewPlacement
from framecore.sheets.views import on_paper
from framecore.stand.model import Stand


def machine_holes(stand: Stand) -> list[tuple[int, float, float, float, str]]:
    """Number, x, y, diameter and purpose of the upright holes of the seat.

    Measured from the frame's left front corner, x to the right, y to the back.
    """
    pads = {p.name for p in stand.frame.plates if p.role in (PlateRole.PAD, PlateRole.BRACKET)}
    found: dict[tuple[int, int], tuple[float, float, float, str]] = {}
    for h in stand.frame.holes:
        if h.owner in pads or abs(h.axis[2]) < 0.999:
            continue
        x, y = h.centre[0] + stand.frame.length / 2, h.centre[1] + stand.frame.depth / 2
        what = f"{h.purpose}, {h.tapped} tapped" if h.tapped else h.purpose
        found.setdefault((round(x * 10), round(y * 10)), (x, y, h.diameter, what))
    return [(n, *found[k]) for n, k in enumerate(sorted(found, key=lambda k: (k[1], k[0])), 1)]


def hole_numbers(stand: Stand, place: ViewPlacement, drawn: list[Primitive]) -> list[Primitive]:
    """Number of each hole, in the corner beside it that fewest lines of ``drawn`` cross."""
    out: list[Primitive] = []
    for n, x, y, diameter, _ in machine_holes(stand):
        at = on_paper(place, TOP, (x - stand.frame.length / 2, y - stand.frame.depth / 2, 0.0))
        r = diameter / 2 * place.scale + 1.0
        tries = [
            Text(
                at=(at[0] + side * r, at[1] + (r if up else -r - 2.5)),
                text=str(n),
                align="left" if side > 0 else "right",
                bold=True,
            )
            for side in (1.0, 1.6, 2.4, -1.0, -1.6, -2.4)
            for up in (True, False)
        ]
        out.append(min(tries, key=lambda t: crossings(text_box(t), [*drawn, *out])))
    return out

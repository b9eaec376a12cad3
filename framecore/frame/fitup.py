"""How two shapes meet: stand-off in an angle's root, open corners of equal tubes, room for the fillet."""

from __future__ import annotations

import math

from framecore.catalogue.model import Profile
from framecore.frame.model import FitUp

_FLARE = {"solid wire and gas": 5 / 8, "TIG": 5 / 16, "self-shielded wire": 5 / 16, "stick": 5 / 16}


def flare_share(process: str) -> float:
    """Return the effective throat of a flare-bevel groove filled flush, as a share of the rounded corner's radius.

    Source: AISC 360-16 table J2.2, from memory; an unknown process takes the lesser.
    """
    return _FLARE.get(process, 5 / 16)


def angle_root(corner: float, root: float) -> FitUp:
    """Fit a corner of outer radius ``corner`` into an angle's root fillet of radius ``root``, mm.

    The round corner touches the concave fillet on the diagonal: the centres are ``root - corner`` apart, so
    each face stands off by ``(root - corner) (1 - 1/sqrt 2)``. A 45 deg chamfer with leg
    ``root (2 - sqrt 2)`` from the sharp corner just clears the fillet.

    Source: geometry; for a sharp corner 0.293 r and 0.586 r.
    """
    stand_off = max(0.0, root - corner) * (1 - 1 / math.sqrt(2))
    # A corner already rounder than the fillet needs no grinding.
    chamfer = root * (2 - math.sqrt(2)) if stand_off > 0 else 0.0
    if stand_off > 0:
        text = (
            f"The corner stands off {stand_off:.2f} mm on both faces of the angle's root (radius {root:.1f} mm); "
            f"grind a 45° chamfer of {chamfer:.1f} mm and it sits home."
        )
    else:
        text = f"The corner (radius {corner:.1f} mm) clears the angle's root radius of {root:.1f} mm and sits home."
    return FitUp(
        kind="angle root", text=text, source="geometry of two tangent arcs", stand_off=stand_off, chamfer=chamfer
    )


def tube_branch(
    branch_width: float, branch_wall: float, run: Profile, run_width: float, leg: float, process: str
) -> FitUp:
    """Fit a tube's end on the face of another tube.

    Parameters
    ----------
    branch_width : width of the branch across the face it lands on, mm
    branch_wall : its wall, mm
    run : the tube it lands on; ``run_width`` the width of that face, mm
    leg : leg of the fillet wanted, mm
    process : welding process of the brief, for the throat of a flare-bevel groove

    Notes
    -----
    Beyond the flat of the face (width less two corner radii) the face falls away on the corner arc: at the
    middle of the branch's wall the opening is ``R - sqrt(R^2 - e^2)``, e measured from the start of the arc.

    Source: geometry; AISC 360-16 table J2.2 effective throat of flare-bevel grooves (5/8 R gas-shielded wire,
    5/16 R stick and self-shielded wire; from memory).
    """
    radius = run.corner
    flat = run_width - 2 * radius
    middle = branch_width / 2 - branch_wall / 2
    past = middle - flat / 2
    if past > 0 and radius > 0:
        past = min(past, radius)
        opening = radius - math.sqrt(max(0.0, radius * radius - past * past))
        throat = flare_share(process) * radius
        return FitUp(
            kind="equal width",
            text=(
                f"The branch's side walls land on the rounded corner: {opening:.1f} mm open at the middle of the wall; "
                f"a flare-bevel groove weld there, effective throat {throat:.1f} mm, takes more filler than a fillet."
            ),
            source="geometry; AISC 360-16 table J2.2 (from memory)",
            opening=opening,
            throat=throat,
        )
    room = (flat - branch_width) / 2
    if room >= leg:
        text = f"There is {room:.1f} mm of flat beside the branch: room for a {leg:g} mm fillet."
    else:
        text = (
            f"Only {max(room, 0.0):.1f} mm of flat beside the branch, less than the {leg:g} mm fillet wanted: "
            f"the toe runs onto the rounded corner; lay the fillet of the weld map there and fill the groove up with it."
        )
    return FitUp(kind="fillet room", text=text, source="geometry", room=room, needed=leg)

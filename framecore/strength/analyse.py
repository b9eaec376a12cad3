"""The analysis of one stand: model, cases, answers."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from framecore.brief.model import Brief
from framecore.catalogue import steel as find_steel
from framecore.fem import FrameModel, Topology, assemble, buckling_envelope, contact, gravity, modes
from framecore.frame.machine import centre_on_stand
from framecore.frame.model import Frame
from framecore.solids.model import Solids
from framecore.strength._cases import LOW_SPOT, build_cases, ring_stiffness, unit_loads
from framecore.strength._floor import floor_under
from framecore.strength._model import StandModel, build_model
from framecore.strength._stress import check_members
from framecore.strength._tipping import tipping
from framecore.strength.model import Case, Strength

Floats = NDArray[np.float64]
MODES = 6


class Analyst:
    """Analyses stands; keeps the numbering of nodes and the last modes as a warm start."""

    def __init__(self) -> None:
        self._topology: Topology | None = None
        self._modes: Floats | None = None
        self._buckled: Floats | None = None
        self._open: NDArray[np.bool_] | None = None

    def analyse(self, brief: Brief, frame: Frame, solids: Solids) -> Strength:
        """Return all answers about how the stand holds.

        Raises
        ------
        SolverError
            The frame is a mechanism.
        """
        masses = dict(zip(solids.layout.parts, solids.masses.tolist(), strict=True))
        stand = build_model(brief, frame, masses)
        model = stand.model
        built = assemble(model, self._topology)
        self._topology = built.topology
        weight, fixed = gravity(model)
        cases, loads = build_cases(brief, frame, stand, weight)
        answers = built.solve(np.concatenate([loads, unit_loads(stand)], axis=2))
        displacements, moved = answers[:, :, : len(cases)].copy(), answers[:, :, len(cases) :]
        floor, low = _floors(brief, frame, cases, built.reactions(displacements[:, :, :1])[:, 2, 0])
        held = contact(built, displacements, floor=floor, start=self._open)
        self._open = held.open
        displacements, reactions = held.displacements, held.forces
        # What vibrates and buckles is the stand as it stands: without the feet that hang in the air.
        standing = built.released(held.open[:, 0]) if held.open[:, 0].any() and not held.tips[0] else built

        forces = built.end_forces(displacements, fixed)
        found = modes(standing, MODES, self._modes)
        self._modes = found.start
        sway, self._buckled = buckling_envelope(standing, forces[:, 6, :], self._buckled)
        bound = min(sway, _between_joints(model, stand.map.element_member, forces[:, 6, :]))
        total, centre = _together(brief, frame, solids, stand)
        sway_x, sway_y, twist = ring_stiffness(stand, moved)
        push_height = frame.seat + (brief.mounting.jack + brief.machine.work_line if stand.machine else 0.0)
        return Strength(
            model=model, map=stand.map, cases=cases, loads=loads, displacements=displacements, reactions=reactions,
            sway_x=sway_x, sway_y=sway_y, twist=twist, mount_sag=-displacements[stand.map.mount_nodes, 2, 0],
            modes_hz=found.frequencies_hz, mode_shapes=found.shapes,
            buckling_bound=bound,
            foot_names=tuple(f.name for f in frame.feet), foot_loads=held.normal_n, foot_open=held.open, tips=held.tips,
            members=check_members(
                frame, stand.map, forces, cases, find_steel(brief.steel.grade).fy, brief.limits.yield_margin
            ),
            tipping=tipping(frame, total, centre, push_height), total_mass=total, centre=centre,
            assumptions=(
                *(stand.machine.assumptions if stand.machine else ()),
                "joints are rigid and members meet on their centroid lines, offset where the shapes are",
                "feet press on the floor and never pull",
                f"{frame.feet[low].name} is the one over the low spot",
            ),
        )  # fmt: skip


def _floors(brief: Brief, frame: Frame, cases: tuple[Case, ...], standing: Floats) -> tuple[Floats, int]:
    """Floor height under each foot in each case, (feet, c) mm, and the foot over the low spot.

    A levelled stand finds its feet on even ground; one as set down stands on the floor as it is. In its own
    case the least loaded foot stands over a hollow as deep as the floor's unevenness.
    """
    ground = np.zeros(len(frame.feet)) if brief.feet.set == "levelled" else floor_under(brief, frame)
    floor = np.repeat(ground[:, None], len(cases), axis=1)
    low = int(standing.argmin())
    for k, case in enumerate(cases):
        if case.id == LOW_SPOT:
            floor[low, k] -= brief.floor.flatness
    return floor, low


def _between_joints(model: FrameModel, member: NDArray[np.int32], axial: Floats) -> float:
    """Least Euler factor of the spans between joints, taken as pinned at both ends.

    One element a span cannot bow in the frame's own buckling; in truth its ends are restrained, so pinned is
    the safe side. ``axial`` (m, c) N, tension positive.

    Source: Euler, pi^2 E I / L^2.
    """
    least = np.minimum(model.per_element("i_y"), model.per_element("i_z"))
    euler = np.pi**2 * model.per_element("e") * least / model.length**2
    press = np.maximum(-axial, 0.0).max(1)
    return float((euler / np.maximum(press, 1e-9))[member >= 0].min())


def _together(
    brief: Brief, frame: Frame, solids: Solids, stand: StandModel
) -> tuple[float, tuple[float, float, float]]:
    """Mass and centre of mass of stand and machine."""
    mass, middle = solids.mass, solids.centroid
    if stand.machine is None:
        return mass, (float(middle[0]), float(middle[1]), float(middle[2]))
    load = brief.machine.mass
    total = mass + load
    x, y, z = (mass * middle + load * np.array(centre_on_stand(brief, frame.seat))) / total
    return total, (float(x), float(y), float(z))

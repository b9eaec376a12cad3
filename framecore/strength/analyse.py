"""The analysis of one stand: model, cases, answers."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from framecore.brief.model import Brief
from framecore.catalogue import steel as find_steel
from framecore.fem import FrameModel, Topology, assemble, buckling_envelope, gravity, modes
from framecore.frame.machine import centre_on_stand
from framecore.frame.model import Frame
from framecore.solids.model import Solids
from framecore.strength._cases import build_cases, ring_stiffness, unit_loads
from framecore.strength._model import StandModel, build_model
from framecore.strength._stress import check_members
from framecore.strength._tipping import tipping
from framecore.strength.model import Strength

Floats = NDArray[np.float64]
MODES = 6


class Analyst:
    """Analyses stands; keeps the numbering of nodes and the last modes as a warm start."""

    def __init__(self) -> None:
        self._topology: Topology | None = None
        self._modes: Floats | None = None
        self._buckled: Floats | None = None

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
        reactions = built.reactions(displacements)

        lifted = next(k for k, c in enumerate(cases) if c.id == "one foot lifted")
        drop = int(reactions[:, 2, 0].argmin())
        gone = built.released(np.arange(len(frame.feet)) == drop)
        displacements[:, :, lifted] = gone.solve(loads[:, :, lifted])
        reactions[:, :, lifted] = gone.reactions(displacements[:, :, lifted : lifted + 1])[:, :, 0]

        forces = built.end_forces(displacements, fixed)
        found = modes(built, MODES, self._modes)
        self._modes = found.start
        sway, self._buckled = buckling_envelope(built, forces[:, 6, :], self._buckled)
        bound = min(sway, _between_joints(model, forces[:, 6, :]))
        total, centre = _together(brief, frame, solids, stand)
        sway_x, sway_y, twist = ring_stiffness(stand, moved)
        push_height = frame.seat + (brief.mounting.jack + brief.machine.work_line if stand.machine else 0.0)
        return Strength(
            model=model, map=stand.map, cases=cases, loads=loads, displacements=displacements, reactions=reactions,
            sway_x=sway_x, sway_y=sway_y, twist=twist, mount_sag=-displacements[stand.map.mount_nodes, 2, 0],
            modes_hz=found.frequencies_hz, mode_shapes=found.shapes,
            buckling_bound=bound,
            foot_names=tuple(f.name for f in frame.feet), foot_loads=reactions[:, 2, :],
            members=check_members(
                frame, stand.map, forces, cases, find_steel(brief.steel.grade).fy, brief.limits.yield_margin
            ),
            tipping=tipping(frame, total, centre, push_height), total_mass=total, centre=centre,
            assumptions=(
                *(stand.machine.assumptions if stand.machine else ()),
                "joints are rigid and members meet on their centroid lines, offset where the shapes are",
                "feet press and pull alike; what really lifts shows as a negative foot load",
                f"foot {frame.feet[drop].name.split()[-1]} is the one taken off the floor",
            ),
        )  # fmt: skip


def _between_joints(model: FrameModel, axial: Floats) -> float:
    """Least Euler factor of the spans between joints, taken as pinned at both ends.

    One element a span cannot bow in the frame's own buckling; in truth its ends are restrained, so pinned is
    the safe side. ``axial`` (m, c) N, tension positive.

    Source: Euler, pi^2 E I / L^2.
    """
    least = np.minimum(model.per_element("i_y"), model.per_element("i_z"))
    euler = np.pi**2 * model.per_element("e") * least / model.length**2
    press = np.maximum(-axial, 0.0).max(1)
    return float((euler / np.maximum(press, 1e-9)).min())


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

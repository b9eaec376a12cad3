"""The analysis of one stand: model, cases, answers."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
from numpy.typing import NDArray

from framecore.brief.model import Brief
from framecore.catalogue import steel_of
from framecore.errors import SolverError
from framecore.fem import Assembled, FrameModel, Topology, assemble, buckling_envelope, gravity, modes
from framecore.frame.model import Frame
from framecore.solids.model import Solids
from framecore.strength._bed import RigidSeat, bed_probe, bed_share
from framecore.strength._buckling import EXACT_BELOW, exact_buckling
from framecore.strength._cases import LOW_SPOT, build_cases, ring_stiffness, unit_loads
from framecore.strength._checks import Checker
from framecore.strength._floor import first, floor_answer, floor_probes, floor_under, hold
from framecore.strength._loads import loads_on, point, together
from framecore.strength._model import build_model
from framecore.strength._motion import describe_motion, element_groups
from framecore.strength._stability import stability, tipping
from framecore.strength._stress import check_members
from framecore.strength.model import Case, Strength

Floats = NDArray[np.float64]
MODES = 6
_FEET_HOLD = ("feet press on the floor and never pull", "anchors hold each foot both ways")


class Analyst:
    """Analyses stands; keeps the numbering of nodes and the last modes as a warm start."""

    def __init__(self) -> None:
        self._topology: Topology | None = None
        self._modes: Floats | None = None
        self._buckled: Floats | None = None
        self._rigid: RigidSeat | None = None
        self._checker = Checker()

    def forget(self) -> None:
        """Drop warm starts, so that the next answer does not hang on the last; the numbering is kept."""
        self._modes = self._buckled = None

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
        weight, fixed = gravity(model, transform=built.transform)
        cases, loads = build_cases(brief, frame, stand, weight)
        probes, below = floor_probes(brief, frame, cases, loads, stand.map)
        c, every = len(cases), len(cases) + probes.shape[2]
        bed = bed_probe(built, frame, stand.map)
        asked = [unit_loads(stand)] if bed is None else [unit_loads(stand), bed.loads]
        answers = built.solve(np.concatenate([loads, probes, *asked], axis=2))
        displacements, moved, twisted = np.split(answers, [every, every + 3], axis=2)
        displacements = displacements.copy()
        floor, low = _floors(brief, frame, cases, built.reactions(displacements[:, :, :1])[:, 2, 0])
        loose = (*(k for k, case in enumerate(cases) if case.id == LOW_SPOT), c)  # an anchored foot is shimmed first
        on_feet = hold(brief, built, displacements, np.hstack([floor, below]), loose)
        held = first(on_feet, c)
        displacements, reactions = held.displacements, held.forces
        # What vibrates and buckles is the stand as it stands: without the feet that hang in the air.
        standing = built if held.tips[0] else _without(built, held.open[:, 0])

        forces = built.end_forces(displacements, fixed)
        found = modes(standing, MODES, self._modes)
        self._modes = found.start
        groups = element_groups(stand.map.element_part, stand.map.element_member, tuple(m.role.value for m in frame.members))
        sway, self._buckled = buckling_envelope(standing, forces[:, 6, :], self._buckled)
        bound = min(sway, _between_joints(model, stand.map.element_member, forces[:, 6, :]))
        checks = self._checker.check(brief, frame, stand, cases, forces, held.normal_n, sway)
        if bound < EXACT_BELOW:
            factor, case, what = exact_buckling(standing, stand.map, forces[:, 6, :], cases)
            checks = replace(checks, buckling=factor, buckling_case=case, buckling_of=what)
        share = None
        if bed is not None:
            share, self._rigid = bed_share(built, frame, bed, twisted, displacements, self._rigid)
        own = (solids.mass, point(solids.centroid))
        on_it = loads_on(brief, frame)
        total, centre = together(*own, on_it)
        sway_x, sway_y, twist = ring_stiffness(stand, moved)
        push_height = frame.seat + (brief.mounting.jack + brief.machine.work_line if stand.machine else 0.0)
        work = None if stand.machine is None else point(model.nodes[stand.heart] + stand.machine.work_offset)
        return Strength(
            model=model, map=stand.map, cases=cases, loads=loads, displacements=displacements, reactions=reactions,
            sway_x=sway_x, sway_y=sway_y, twist=twist, mount_sag=-displacements[stand.map.mount_nodes, 2, 0],
            modes_hz=found.frequencies_hz, mode_shapes=found.shapes,
            motion=describe_motion(brief, standing, groups, found.frequencies_hz, found.shapes),
            bed=share,
            buckling_bound=bound,
            foot_names=tuple(f.name for f in frame.feet), foot_loads=held.normal_n, foot_open=held.open, tips=held.tips,
            stresses=cache(lambda: check_members(
                frame, stand.map, forces, cases, [steel_of(brief.steel.grade, tube=m.profile.closed).fy for m in frame.members],
                brief.limits.yield_margin,
                [m.use for m in checks.members],
            )), checks=checks,
            tipping=tipping(frame, total, centre, push_height), total_mass=total, centre=centre,
            floor=floor_answer(brief, frame, cases, on_feet, stand.map.foot_nodes, (sway_x, sway_y), centre, total),
            stability=stability(brief, frame, own, on_it, push_height=push_height, work=work),
            assumptions=(
                *(stand.machine.assumptions if stand.machine else ()),
                "joints are rigid and members meet on their centroid lines, offset where the shapes are",
                _FEET_HOLD[brief.floor.anchor != "none"],
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


def _without(built: Assembled, lifted: NDArray[np.bool_]) -> Assembled:
    """Return the stand without the feet that hang in the air; with all where what is left would only balance on an edge."""
    if not lifted.any():
        return built
    try:
        return built.released(lifted)
    except SolverError:
        return built

"""Load cases of a stand: what it must bear, as columns of nodal loads."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from framecore.brief.model import Brief
from framecore.fem.model import cross
from framecore.frame.model import Frame
from framecore.strength._model import StandModel
from framecore.strength.model import Case
from framecore.units import KILOGRAM_FORCE

Floats = NDArray[np.float64]
# What the stiffness of the ring is read from, N and N mm.
UNIT_FORCE = 1000.0
UNIT_TORQUE = 1e6
LOW_SPOT = "low spot"
_DIRECTIONS = (("left", (-1.0, 0.0)), ("right", (1.0, 0.0)), ("front", (0.0, -1.0)), ("back", (0.0, 1.0)))


def build_cases(brief: Brief, frame: Frame, stand: StandModel, weight: Floats) -> tuple[tuple[Case, ...], Floats]:
    """Return the cases and their nodal loads (n, 6, c), N and N mm; the weight is in every one.

    The low-spot case carries the same loads as the weight; its floor differs.
    """
    limits = brief.limits
    cases = [Case(id="self weight", label="Standing", text="stand and machine standing still")]
    loads = [weight]
    high = f"{limits.push:.0f} N at the work line"
    for side, (x, y) in _DIRECTIONS:
        load = weight.copy()
        _at_work_line(load, stand, frame, np.array([limits.push * x, limits.push * y, 0.0]))
        cases.append(Case(id=f"push {side}", label=f"Push to the {side}", text=high))
        loads.append(load)
    if stand.machine is not None:
        load = weight.copy()
        force = brief.machine.cutting_force
        # The resultant cut pushes away from the operator and down in equal parts (assumed).
        _at_work_line(load, stand, frame, np.array([0.0, force, -force]) / np.sqrt(2))
        load[stand.heart, 3] += 1000 * brief.machine.cutting_torque
        cases.append(
            Case(id="cutting", label="Cutting", text=f"{force:.0f} N and {brief.machine.cutting_torque:.0f} N m")
        )
        loads.append(load)
    cases.append(
        Case(
            id=LOW_SPOT, label="One foot over a low spot",
            text=f"the floor under the least loaded foot lies {brief.floor.flatness:g} mm low",
        )
    )
    loads.append(weight)
    if stand.machine is not None:
        load = weight.copy()
        corner = int(stand.map.mount_nodes[0])
        pounds = brief.machine.mass * KILOGRAM_FORCE
        # The machine's weight leaves its bed and comes down on one mount alone, with the blow of setting down.
        load[stand.heart, 2] += pounds
        off = np.asarray(stand.machine.mass_offset)
        load[stand.heart, 3:] -= cross(off, np.array([0.0, 0.0, -pounds]))
        load[corner, 2] -= limits.impact * pounds
        cases.append(
            Case(
                id="set down",
                label="Set down on one corner",
                text=f"{limits.impact:g} x the machine's weight on mount 1",
            )
        )
        loads.append(load)
    return tuple(cases), np.stack(loads, axis=2)


def _ring_arms(stand: StandModel) -> tuple[Floats, float]:
    """x, y of the ring nodes from their middle, (k, 2) mm, and the sum of their squares."""
    ring = stand.model.nodes[stand.ring_nodes, :2]
    arms = ring - ring.mean(0)
    return arms, float((arms**2).sum())


def unit_loads(stand: StandModel) -> Floats:
    """(n, 6, 3): ``UNIT_FORCE`` along x, along y, ``UNIT_TORQUE`` about the vertical, shared by the top ring.

    A seat of one joint alone, such as a column's head, has no arms: it takes the torque itself.
    """
    ring, spread = _ring_arms(stand)
    k = len(ring)
    loads = np.zeros((stand.model.n_nodes, 6, 3))
    loads[stand.ring_nodes, 0, 0] = UNIT_FORCE / k
    loads[stand.ring_nodes, 1, 1] = UNIT_FORCE / k
    if k == 1:
        loads[stand.ring_nodes, 5, 2] = UNIT_TORQUE
        return loads
    loads[stand.ring_nodes, 0, 2] = -UNIT_TORQUE * ring[:, 1] / spread
    loads[stand.ring_nodes, 1, 2] = UNIT_TORQUE * ring[:, 0] / spread
    return loads


def ring_stiffness(stand: StandModel, moved: Floats) -> tuple[float, float, float]:
    """Sway stiffness along x and y, N/mm, and twist stiffness, N mm/rad.

    ``moved`` (n, 6, 3): displacements under ``unit_loads``; the ring's movement is read as the loads are shared.
    """
    ring, spread = _ring_arms(stand)
    at = moved[stand.ring_nodes]
    if len(ring) == 1:
        turn = float(at[0, 5, 2])
    else:
        turn = float((ring[:, 0] * at[:, 1, 2] - ring[:, 1] * at[:, 0, 2]).sum()) / spread
    return UNIT_FORCE / float(at[:, 0, 0].mean()), UNIT_FORCE / float(at[:, 1, 1].mean()), UNIT_TORQUE / turn


def _at_work_line(load: Floats, stand: StandModel, frame: Frame, force: Floats) -> None:
    """Add a force at the work line: on the machine, or shared by the ring of a stand without one."""
    if stand.machine is not None:
        load[stand.heart, :3] += force
        load[stand.heart, 3:] += cross(np.asarray(stand.machine.work_offset), force)
        return
    nodes = stand.model.nodes
    share = force / len(stand.ring_nodes)
    for n in stand.ring_nodes:
        load[n, :3] += share
        load[n, 3:] += cross(np.array((0.0, 0.0, frame.seat - nodes[n, 2])), share)

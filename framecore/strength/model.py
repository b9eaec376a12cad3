"""Answers about how the stand holds. Arrays where the view needs them, plain numbers elsewhere."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:
    from framecore.fem import FrameModel
    from framecore.strength._bed import BedShare
    from framecore.strength._floor import FloorAnswer
    from framecore.strength._motion import Motion
    from framecore.strength._stability import Stability
    from framecore.strength.checked import CodeChecks


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """One load case. ``id`` "self weight", "push left", ...; ``checked``: its stress counts."""

    id: str
    label: str
    text: str
    checked: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class MemberCheck:
    """The worst stress of one member.

    ``stress`` von Mises MPa at the worst point; parts for the working: ``axial``, ``bend_y``, ``bend_z`` normal
    stress parts and ``shear`` MPa; ``case`` id; ``at`` distance from the member's start, mm. ``utilisation`` =
    margin x stress / fy; in a ``Strength`` that of the code of the brief, see ``Strength.checks``.
    """

    member: str
    case: str
    at: float
    stress: float
    axial: float
    bend_y: float
    bend_z: float
    shear: float
    fy: float
    utilisation: float


@dataclass(frozen=True, slots=True, kw_only=True)
class TippingSide:
    """Tipping over one side of the base.

    ``side`` "front", "back", "left", "right"; ``lever`` distance from the centre of mass to the edge of the
    feet, mm; ``height`` of the push (work line), mm; ``force`` N; ``angle`` rad; ``mass`` kg.
    """

    side: str
    lever: float
    height: float
    centre_height: float
    mass: float
    force: float
    angle: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ModelMap:
    """How the analysis model belongs to the frame.

    ``element_member``: per element the member index in frame.members, -1 for the machine, feet and stubs;
    ``element_part``: per element the name of what it is; ``foot_nodes``, ``mount_nodes``.
    ``stations``: per element ((t0, t1)) distance of its two ends along the member, mm.
    """

    element_member: NDArray[np.int32]
    element_part: tuple[str, ...]
    stations: NDArray[np.float64]
    foot_nodes: NDArray[np.int32]
    mount_nodes: NDArray[np.int32]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Strength:
    """All answers.

    Attributes
    ----------
    model, map : the analysis model and what belongs to what
    cases : load cases in column order
    loads : (n, 6, c) nodal loads, N and N mm
    displacements : (n, 6, c) mm, rad
    reactions : (feet, 6, c) N, N mm: what the floor gives
    sway_x, sway_y : N/mm at the seat; twist : N mm/rad about the vertical through the seat
    mount_sag : (mounts,) deflection under self-weight and machine, mm (positive down)
    modes_hz : (6,); mode_shapes : (n, 6, 6)
    motion : what each mode does, and the running speeds
    bed : the machine's bed on the stand, None for a machine without two rows of mounts
    buckling_bound : every elastic buckling factor of the cases is at least this; inf if no compression
    foot_loads : (feet, c) N, presses on the floor; 0 where the foot has lifted
    foot_open : (feet, c) feet in the air
    tips : (c,) the stand falls over in that case; its other answers are those of a floor that also pulls
    stresses : works out ``members`` when they are first asked for: one MemberCheck per member, in frame order
    tipping : four sides, every load where it usually is
    floor, stability : how the feet meet the floor; tipping in every direction
    total_mass, centre : of the stand with machine, what is fitted on it and stored in it, kg and mm
    """

    model: FrameModel
    map: ModelMap
    cases: tuple[Case, ...]
    loads: NDArray[np.float64]
    displacements: NDArray[np.float64]
    reactions: NDArray[np.float64]
    sway_x: float
    sway_y: float
    twist: float
    mount_sag: NDArray[np.float64]
    modes_hz: NDArray[np.float64]
    mode_shapes: NDArray[np.float64]
    motion: Motion
    bed: BedShare | None
    buckling_bound: float
    foot_names: tuple[str, ...]
    foot_loads: NDArray[np.float64]
    foot_open: NDArray[np.bool_]
    tips: NDArray[np.bool_]
    stresses: Callable[[], tuple[MemberCheck, ...]]
    tipping: tuple[TippingSide, ...]
    checks: CodeChecks
    floor: FloorAnswer
    stability: Stability
    total_mass: float
    centre: tuple[float, float, float]
    assumptions: tuple[str, ...]

    @property
    def members(self) -> tuple[MemberCheck, ...]:
        """The worst stress of every member, in frame order."""
        return self.stresses()

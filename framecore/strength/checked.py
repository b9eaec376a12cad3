"""Answers of the checks by code: members, welds, pads, studs and holding-down bolts."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from functools import cache
from typing import overload

from framecore.errors import Finding


@dataclass(frozen=True, slots=True, kw_only=True)
class MemberCode:
    """The governing check of one member.

    Forces are design values, the service loads times ``CodeChecks.margin`` and, where second-order effects
    count, moments times ``CodeChecks.amplification``. For "span" they are the largest of the span, sizes only,
    ``n`` compression positive; for "section" and "shear" those of one end, ``n`` tension positive.

    Attributes
    ----------
    kind : "section" (normal force with bending, in AISC's checks with torsion), "shear" (shear and torsion),
        "span" (buckling of the length between joints with bending)
    case : id of the case; ``at`` distance from the member's start, mm (the start of a span)
    length : buckling length of the span it lies in, mm
    use : utilisation
    n, v_u, v_v, torque, m_u, m_v : N, N mm
    """

    member: str
    profile: str
    kind: str
    clause: str
    case: str
    at: float
    length: float
    use: float
    n: float
    v_u: float
    v_v: float
    torque: float
    m_u: float
    m_v: float


@dataclass(frozen=True, slots=True, kw_only=True)
class WeldCheck:
    """The weld that ties one member to a joint.

    Attributes
    ----------
    kind : "fillet all round", "fillets and flare-bevel grooves", "fillets along the angle"
    length : mm of weld; ``throat`` the thinnest on it; ``area`` sum of throat x length, mm2
    wall : of the thinner part, mm
    stress : resultant on the throat at its worst point under service loads times margin, MPa
    limit : what the throat bears, MPa
    base_use : utilisation of the branch's wall beside the weld (AISC J4), 0 by EN
    use : the larger of stress / limit and base_use
    forces : N, Vu, Vv, T, Mu, Mv of the branch at that joint, service loads, N and N mm
    """

    joint: str
    member: str
    kind: str
    case: str
    length: float
    throat: float
    area: float
    wall: float
    stress: float
    limit: float
    base_use: float
    use: float
    forces: tuple[float, ...]


class WeldChecks(Sequence[WeldCheck]):
    """The worst case of every weld. A frame has a hundred of them: each is put into words when it is looked at.

    Parameters
    ----------
    uses : utilisation of each
    one : says everything about the weld of that index
    """

    def __init__(self, uses: Sequence[float], one: Callable[[int], WeldCheck]) -> None:
        self._uses = uses
        self._one = cache(one)

    @property
    def worst(self) -> WeldCheck | None:
        """The weld that is used most, the first of equals; None without welds."""
        return self[self._uses.index(max(self._uses))] if self._uses else None

    @overload
    def __getitem__(self, k: int) -> WeldCheck: ...
    @overload
    def __getitem__(self, k: slice) -> tuple[WeldCheck, ...]: ...
    def __getitem__(self, k: int | slice) -> WeldCheck | tuple[WeldCheck, ...]:
        found = range(len(self._uses))[k]
        return self._one(found) if isinstance(found, int) else tuple(map(self._one, found))

    def __len__(self) -> int:
        return len(self._uses)


@dataclass(frozen=True, slots=True, kw_only=True)
class PadCheck:
    """The pad, the thread and the stud of one foot.

    Attributes
    ----------
    load : the largest press on the foot, N, in ``case``
    lever, width, thickness : of the strip of pad that bends between stud and leg, mm
    bending : stress in the pad under load x margin, MPa; ``bending_use``
    engaged : length of thread in the pad, mm; ``strip_area`` of its thread sheared, mm2; ``thread_use``
    stud_stress : normal stress at the stud's root, service, MPa; ``stud_use`` with margin; ``stud_case``
    use : the largest of the three
    """

    foot: str
    pad: str
    case: str
    load: float
    lever: float
    width: float
    thickness: float
    bending: float
    bending_use: float
    engaged: float
    strip_area: float
    thread_use: float
    stud_case: str
    stud_stress: float
    stud_use: float
    use: float


@dataclass(frozen=True, slots=True, kw_only=True)
class BoltCheck:
    """One holding-down bolt of the machine.

    ``bolt_class`` its strength class; ``tension``, ``shear`` N service in ``case``; ``proof`` N its proof load;
    ``shear_limit`` and ``bearing_limit`` N; ``sleeve``: it runs through a hollow tube and wants a crush sleeve. ``clamp``:
    least clamp load with which the foot neither lifts nor slides in any case but setting the machine down, before the
    bolts are in; it arises in ``clamp_case`` from ``clamp_tension`` (negative: pressed) and ``clamp_shear``, service, N.
    """

    mount: str
    thread: str
    case: str
    tension: float
    shear: float
    proof: float
    shear_limit: float
    bearing_limit: float
    use: float
    sleeve: bool
    clamp: float = 0.0
    clamp_case: str = ""
    clamp_tension: float = 0.0
    clamp_shear: float = 0.0
    bolt_class: str = "8.8"


@dataclass(frozen=True, slots=True, kw_only=True)
class CodeChecks:
    """All checks by the code of the brief.

    Attributes
    ----------
    margin : the one factor on the service loads (limits.yield_margin)
    amplification : factor on all moments for second-order sway, 1 where it does not count
    members : one a member, frame order; welds : one a branch of every joint; pads; bolts
    worst_member, worst_joint, worst_case : names to light in the view ("" where there is none)
    buckling : exact least elastic factor over the cases, None where the bound was far enough off;
        ``buckling_case`` the case, ``buckling_of`` "frame" or a member's name
    weld_length : mm of weld of each joint, by name
    """

    code: str
    margin: float
    amplification: float
    members: tuple[MemberCode, ...]
    welds: WeldChecks
    pads: tuple[PadCheck, ...]
    bolts: tuple[BoltCheck, ...]
    worst_member: str
    worst_joint: str
    worst_case: str
    buckling: float | None = None
    buckling_case: str = ""
    buckling_of: str = ""
    weld_length: dict[str, float] = field(default_factory=dict)
    findings: tuple[Finding, ...] = ()
    assumptions: tuple[str, ...] = ()

"""How the stand holds: the only package that speaks both Frame and finite elements."""

from __future__ import annotations

from typing import TYPE_CHECKING

from framecore.first_use import at_first_use
from framecore.strength._bed import PER_METRE, BedShare, OtherRails
from framecore.strength._cases import UNIT_FORCE, UNIT_TORQUE
from framecore.strength._checks import code_module
from framecore.strength._motion import MOTIONS, Motion, RunningSpeed
from framecore.strength.analyse import Analyst
from framecore.strength.checked import BoltCheck, CodeChecks, MemberCode, PadCheck, WeldCheck
from framecore.strength.model import Case, MemberCheck, Strength, TippingSide

if TYPE_CHECKING:
    from framecore.strength._sensitivity import Sensitivity, ranked, sensitivities

__all__ = [
    "MOTIONS",
    "PER_METRE",
    "UNIT_FORCE",
    "UNIT_TORQUE",
    "Analyst",
    "BedShare",
    "BoltCheck",
    "Case",
    "CodeChecks",
    "MemberCheck",
    "MemberCode",
    "Motion",
    "OtherRails",
    "PadCheck",
    "RunningSpeed",
    "Sensitivity",
    "Strength",
    "TippingSide",
    "WeldCheck",
    "code_module",
    "ranked",
    "sensitivities",
]

__getattr__ = at_first_use(
    __name__, dict.fromkeys(("Sensitivity", "ranked", "sensitivities"), "framecore.strength._sensitivity")
)

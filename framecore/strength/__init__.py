"""How the stand holds: the only package that speaks both Frame and finite elements."""

from __future__ import annotations

from framecore.strength._bed import PER_METRE, BedShare, OtherRails
from framecore.strength._cases import UNIT_FORCE, UNIT_TORQUE
from framecore.strength._motion import MOTIONS, Motion, RunningSpeed
from framecore.strength.analyse import Analyst
from framecore.strength.model import Case, MemberCheck, Strength, TippingSide

__all__ = [
    "MOTIONS",
    "PER_METRE",
    "UNIT_FORCE",
    "UNIT_TORQUE",
    "Analyst",
    "BedShare",
    "Case",
    "MemberCheck",
    "Motion",
    "OtherRails",
    "RunningSpeed",
    "Strength",
    "TippingSide",
]

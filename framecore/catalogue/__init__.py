"""What can be bought: profiles, sheets, steels and threads.

Names: "SHS 50x50x3" square, "RHS 60x40x3" rectangular and "CHS 48.3x3.2" round tube; "L 50x50x5" angle;
"FL 50x6" flat; "UPN 80", "U 40x20x5" channel; "RD 20", "SQ 20" bar; in inches "HSS 2x2x1/8" (ASTM A500),
"TUBE 2x2x11ga" (mechanical tube), "PIPE 1-1/2 STD", "L2x2x1/8", "FB 2x1/4", "C3x4.1", "RB 3/4", "SB 1".
The first size is the height (local z), the second the width (local y): "FL 50x6" stands 50 high.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from framecore.catalogue import _names
from framecore.catalogue._goods import sheet, sheets, steel, steel_of, steels, thread, threads
from framecore.catalogue._mass import kg_per_m
from framecore.catalogue._tables import rows
from framecore.catalogue.model import Profile, SectionProperties, Shape, Sheet, Steel, Thread

__all__ = [
    "Profile",
    "ProfileSummary",
    "SectionProperties",
    "Shape",
    "Sheet",
    "Steel",
    "Thread",
    "profile",
    "profiles",
    "sheet",
    "sheets",
    "steel",
    "steel_of",
    "steels",
    "summary",
    "thread",
    "threads",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class ProfileSummary:
    """What a list of profiles shows: sizes in mm with the nominal wall, mass in kg/m."""

    id: str
    shape: Shape
    system: str
    standard: str
    height: float
    width: float
    wall: float
    kg_per_m: float


@cache
def _built(name: str) -> Profile:
    from framecore.catalogue._build import build  # loads slowly, wanted on first use only

    return build(rows()[name])


def profile(name: str) -> Profile:
    """Return a profile by id, or by how people write it: "50x50x3 square tube", '2 x 2 x 1/8"'.

    Where sizes alone fit several families, tube comes before angle, angle before flat and bar, and A500
    before A513. The profile is built on first use and kept.

    Raises
    ------
    CatalogueError
        If nothing fits; the message names the nearest.
    """
    return _built(_names.find(name))


def profiles(shape: Shape | str | None = None, system: str | None = None) -> tuple[str, ...]:
    """Return the ids of all profiles, or of one shape, or of one system ("metric", "inch")."""
    return _names.select(shape, system)


def summary(name: str) -> ProfileSummary:
    """Return what a list shows of a profile, without building its outlines; raises as `profile`."""
    row = rows()[_names.find(name)]
    return ProfileSummary(
        id=row.id,
        shape=row.shape,
        system=row.system,
        standard=row.standard,
        height=row.height,
        width=row.width,
        wall=row.wall,
        kg_per_m=kg_per_m(row),
    )

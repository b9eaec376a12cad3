"""How high the stand should be: the work line at the operator's elbow, not the top of the stand."""

from __future__ import annotations

from dataclasses import dataclass

from framecore.brief.model import Brief
from framecore.height._bands import BANDS, ELBOW_OF_STATURE, WORK_OF_MACHINE

__all__ = ["BANDS", "ELBOW_OF_STATURE", "WORK_OF_MACHINE", "User", "WorkingHeight", "working_height"]


@dataclass(frozen=True, slots=True, kw_only=True)
class User:
    """One operator: ``elbow`` floor to elbow in shoes; seat heights ``low``..``high`` that suit; mm.

    ``origin``: "measured" or "0.630 x stature".
    """

    elbow: float
    origin: str
    low: float
    high: float


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkingHeight:
    """The stand's height against its users, mm.

    Attributes
    ----------
    elbow, origin : of the first user, in shoes
    work : the kind of work the band is for
    band_low, band_high : seat heights that put the work line in the first user's band
    ideal : the middle of what suits everybody, or of the taller user's band where no height suits both
    users : one or two
    overlap : seat heights that suit both users (the only user's band when there is one), None if there is none
    platform : height of a platform for the shorter user that makes the bands meet at ``ideal``, 0 if none is needed
    height : floor to seat as resolved
    work_line : floor to work line
    gap : work line minus elbow of the first user
    """

    elbow: float
    origin: str
    work: str
    band_low: float
    band_high: float
    ideal: float
    users: tuple[User, ...]
    overlap: tuple[float, float] | None
    platform: float
    height: float
    work_line: float
    gap: float


def _user(elbow: float, stature: float, shoes: float, above_seat: float, work: str) -> User:
    bare = elbow or ELBOW_OF_STATURE * stature
    low, high = BANDS[work]
    return User(
        elbow=bare + shoes,
        origin="measured" if elbow else "0.630 x stature",
        low=bare + shoes + low - above_seat,
        high=bare + shoes + high - above_seat,
    )


def working_height(brief: Brief) -> WorkingHeight:
    """Return the working height of a brief; the work line stands at height + jacking gap + the machine's own.

    Where the bands of two users do not meet, the stand
    suits the taller and a platform lifts the shorter so that the work line falls in their band too.
    """
    o = brief.operator
    work = WORK_OF_MACHINE[brief.machine.kind] if o.work == "by machine" else o.work
    above_seat = brief.mounting.jack + brief.machine.work_line
    users = [_user(o.elbow, o.stature, o.shoes, above_seat, work)]
    if o.second_elbow or o.second_stature:
        users.append(_user(o.second_elbow, o.second_stature, o.shoes, above_seat, work))
    first = users[0]
    low, high = max(u.low for u in users), min(u.high for u in users)
    overlap = (low, high) if low <= high else None
    if overlap:
        ideal, platform = (low + high) / 2, 0.0
    else:
        taller = max(users, key=lambda u: u.elbow)
        shorter = min(users, key=lambda u: u.elbow)
        ideal = (taller.low + taller.high) / 2
        platform = ideal - shorter.high
    height = float(round(ideal)) if brief.frame.height is None else brief.frame.height
    return WorkingHeight(
        elbow=first.elbow,
        origin=first.origin,
        work=work,
        band_low=first.low,
        band_high=first.high,
        ideal=ideal,
        users=tuple(users),
        overlap=overlap,
        platform=platform,
        height=height,
        work_line=height + above_seat,
        gap=height + above_seat - first.elbow,
    )

"""What the pages of the level share: its sensitivity, and a reading as laid with the one turned end for end."""

from __future__ import annotations

from framecore.errors import UnitError
from framecore.seat.readings import Level, Tilt, inch_per_foot, parse_level, parse_tilt

SENSITIVITY = "A division of your level is worth"


def level_of(text: str) -> Level:
    """Return the level from what a division is worth; nothing typed: a level without divisions."""
    return parse_level(text) if text.strip() else Level()


def both_ways(laid: str, turned: str, level: Level) -> Tilt:
    """Return the tilt that both readings give.

    Raises
    ------
    UnitError
        One cannot be read, or only the turned one is there; one sentence.
    """
    if not laid.strip():
        raise UnitError("give the reading as laid too; the turned one alone holds the level's own error.")
    tilts = [parse_tilt(t, level) for t in (laid, turned) if t.strip()]
    return Tilt(
        value=sum(t.value for t in tilts) / len(tilts), within=sum(t.within for t in tilts) / len(tilts),
        typed=", ".join(t.typed for t in tilts),
    )  # fmt: skip


def tilt_words(tilt: float, level: Level, inch: bool) -> str:
    """Return a tilt as this level shows it: divisions where it has some."""
    if level.division:
        return f"{tilt / level.division:+.1f} div"
    if abs(tilt) < 5e-4:
        return "0 in/ft" if inch else "0 mm/m"
    return f"{inch_per_foot(tilt):+.5f} in/ft" if inch else f"{tilt:+.3f} mm/m"

"""The sheet to fill in at the machine: rows of words and empty boxes, for a drawing sheet or plain text."""

from __future__ import annotations

from framecore.brief.model import Brief
from framecore.catalogue import thread as find_thread
from framecore.seat.influence import FOOT, KIND_OF_SEATING, SHIM

BLANK = "________"
WAYS = ("lathe", "mill")  # kinds whose ways show a twist of the bed
CORNERS = ("FL to BR", "FR to BL")
_WORDS = {FOOT: "levelling foot", "screw": "jacking screw", SHIM: "shims"}


def moved_words(brief: Brief) -> str:
    """Return what is turned or laid, "levelling foot M12"; shims have no thread."""
    kind = KIND_OF_SEATING[brief.mounting.seating]
    return _WORDS[kind] if kind == SHIM else f"{_WORDS[kind]} {moved_thread(brief)}"


def moved_thread(brief: Brief) -> str:
    """Return the thread that is turned, "" for shims."""
    kind = KIND_OF_SEATING[brief.mounting.seating]
    return "" if kind == SHIM else brief.feet.thread if kind == FOOT else brief.mounting.screw


def readings_heads(stations: tuple[str, ...]) -> tuple[str, ...]:
    """Return the heads of the table of twist readings."""
    return ("Round", *(f"{s}, {way}" for s in stations for way in ("as laid", "turned", "mean")), "twist")


def has_ways(brief: Brief) -> bool:
    """Return whether the machine has ways on which a level shows a twist."""
    return brief.machine.kind in WAYS


def level_ways(brief: Brief) -> tuple[tuple[str, str], ...]:
    """Return the pairs of ways a level is laid besides the twist, one table each; none on a lathe."""
    if brief.machine.kind == "lathe":
        return ()
    plain = ("along", "across")
    return (plain, CORNERS) if brief.machine.kind == "surface plate" else (plain,)


def level_heads(ways: tuple[str, str]) -> tuple[str, ...]:
    """Return the heads of a table of level readings."""
    return ("Round", *(f"{w}, {how}" for w in ways for how in ("as laid", "turned", "mean")))


def record_sheet(
    brief: Brief, screws: tuple[str, ...], stations: tuple[str, ...] = ("left", "right"), rounds: int = 4
) -> list[tuple[str, ...]]:
    """Return the sheet as rows: a row of one cell is a heading or a line to tick, longer ones are a table.

    Parameters
    ----------
    screws : names of the screws that are moved, as ``Influence.names``
    stations : where the level is laid; ``rounds`` how many rounds there is room for
    """
    kind = KIND_OF_SEATING[brief.mounting.seating]
    thread = brief.feet.thread if kind == FOOT else brief.mounting.screw
    turn = find_thread(thread).pitch
    pitch = "" if kind == SHIM else f", {thread}, {turn:.3g} mm a turn, {turn / 6:.3f} mm a flat"
    rows: list[tuple[str, ...]] = [
        (f"Levelling of {brief.machine.name or brief.title}",),
        (f"Moved at each {_WORDS[kind]}{pitch}",),
        ("Level: one division is", BLANK, "reads + where the bubble goes to the back"),
        ("1  All feet bear: none can be turned by hand", *(f"{name} [ ]" for name in screws)),
        ("2  Level enough, mm/m: across", BLANK, "along", BLANK),
    ]
    for ways in level_ways(brief):
        heads = level_heads(ways)
        rows += [heads, *((str(k), *(BLANK,) * (len(heads) - 1)) for k in range(1, rounds + 1))]
    if has_ways(brief):
        rows += [("3  Twist: level on the ways across the bed, then turned end for end",), readings_heads(stations)]
        rows += [(str(k), *(BLANK,) * (3 * len(stations) + 1)) for k in range(1, rounds + 1)]
    else:
        rows.append(("3  Load it as it will be used, read again, and again after a day",))
    rows.append(("Moved, mm: + raises", *screws))
    rows += [(str(k), *(BLANK,) * len(screws)) for k in range(1, rounds + 1)]
    if brief.machine.kind == "lathe":
        rows += [
            ("Turning test, no tailstock: diameter at the chuck", BLANK, "at the free end", BLANK),
            ("Between the collars", BLANK, "jaws to the free collar", BLANK, "bar", BLANK),
        ]
    first = "Holding-down bolts drawn tight and read again" if brief.machine.holes else "Read again under its load"
    rows.append((first, BLANK, "after a week", BLANK))
    return rows

"""The machine's holes as handles in the plane of the seat."""

from __future__ import annotations

from typing import Any

from app.view3d.handles import Change, Floats, Handle, Handles, Here, X, Y
from app.view3d.holes import Point, Points, middle, mirrors, moved, room
from app.view3d.written import as_typed, read, snapped, typed, words, written
from framecore.frame.machine import machine_datum


def hole_values(here: Here, holes: Points) -> dict[str, Any]:
    """Return the keys that put the machine's holes there, the machine itself staying where it stands.

    The stand holds the middle of the pattern at ``machine.at``; where a moved hole shifts that middle, this key
    follows, so that the other holes stay over their steel. Holes that did not move are left as typed.
    """
    units, old = here.brief.units, here.brief.machine.holes
    raw = here.source.value("machine.holes")
    rows: list[Any] = []
    for k, (x, y) in enumerate(holes):
        kept = isinstance(raw, list) and len(raw) == len(holes) == len(old) and old[k] == (x, y)
        rows.append(raw[k] if kept else [written(x, units), written(y, units)])
    (ax, ay), (bx, by) = middle(old), middle(holes)
    at: Any = here.source.value("machine.at")
    if (ax, ay) != (bx, by):
        x, y = here.brief.machine.at
        at = [written(x + bx - ax, units), written(y + by - ay, units)]
    return {"machine.holes": rows, "machine.at": at}


class HoleHandles(Handles):
    """The holes of the machine's feet."""

    title = "Holes"
    adds = True

    def can_be_even(self, here: Here) -> bool:
        """Whether the pattern has a mirror line."""
        return mirrors(here.brief.machine.holes).any

    def handles(self, here: Here) -> tuple[Handle, ...]:
        """One a hole, numbered as in the brief."""
        x0, y0, _ = machine_datum(here.brief, here.seat)
        return tuple(
            Handle(
                id=str(k), at=(x0 + x, y0 + y, here.seat), ways=(X, Y), mark=str(k + 1),
                name=f"hole {k + 1} of {len(here.brief.machine.holes)}, {words(x, y, here.brief.units)}",
            )
            for k, (x, y) in enumerate(here.brief.machine.holes)
        )  # fmt: skip

    def _change(self, here: Here, k: int, to: Point, what: str, even: bool) -> Change:
        holes = moved(here.brief.machine.holes, k, to, even)
        x, y = holes[k]
        x0, y0, _ = machine_datum(here.brief, here.seat)
        z = here.seat
        return Change(
            values=hole_values(here, holes), words=f"hole {k + 1}: {words(x, y, here.brief.units)}",
            text=f"{what} hole {k + 1}",
            lines=(((x0, y0, z), (x0 + x, y0, z)), ((x0 + x, y0, z), (x0 + x, y0 + y, z))),
        )  # fmt: skip

    def moved(self, here: Here, handle: Handle, to: Floats, free: bool, reach: float = 0.0) -> Change:
        """Move a hole in the plane of the seat, to the next step from the datum."""
        x0, y0, _ = machine_datum(here.brief, here.seat)
        x, y = float(to[0] - x0), float(to[1] - y0)
        if not free:
            old = here.brief.machine.holes[int(handle.id)]
            # What does not move keeps its place, on a step or not.
            x = old[0] if abs(x - old[0]) < 1e-9 else snapped(x, here.brief.units)
            y = old[1] if abs(y - old[1]) < 1e-9 else snapped(y, here.brief.units)
        return self._change(here, int(handle.id), (x, y), "move", self.even)

    def fields(self, here: Here, handle: Handle) -> tuple[tuple[str, str], ...]:
        """Return x and y as typed."""
        k = int(handle.id)
        raw = here.source.value("machine.holes")
        said = raw[k] if isinstance(raw, list) else (None, None)
        # A number without a unit means mm in the file and inches in a field of a brief in inches.
        x, y = (
            was if isinstance(was, str) else typed(mm, here.brief.units)
            for was, mm in zip(said, here.brief.machine.holes[k], strict=True)
        )
        return ("x", x), ("y", y)

    def typed(self, here: Here, handle: Handle, texts: tuple[str, ...]) -> Change:
        """Put a hole where it is said to be, and keep the words."""
        k = int(handle.id)
        x, y = (read(name, t, here.brief.units) for name, t in zip("xy", texts, strict=True))
        change = self._change(here, k, (x, y), "move", self.even)
        change.values["machine.holes"][k] = [as_typed(t, here.brief.units) for t in texts]
        return change

    def removed(self, here: Here, handle: Handle) -> Change:
        """Take a hole out."""
        k = int(handle.id)
        old = here.brief.machine.holes
        raw = here.source.value("machine.holes")
        values = hole_values(here, old[:k] + old[k + 1 :])
        if isinstance(raw, list):
            values["machine.holes"] = raw[:k] + raw[k + 1 :]
        return Change(values=values, words=f"hole {k + 1} is out", text=f"take hole {k + 1} out")

    def added(self, here: Here, at: Floats | None) -> Change:
        """Put one hole more at a point of the seat, or where there is room."""
        old, units = here.brief.machine.holes, here.brief.units
        x0, y0, _ = machine_datum(here.brief, here.seat)
        x, y = room(old) if at is None else (float(at[0] - x0), float(at[1] - y0))
        x, y = snapped(x, units), snapped(y, units)
        values = hole_values(here, (*old, (x, y)))
        raw = here.source.value("machine.holes")
        if isinstance(raw, list):
            values["machine.holes"] = [*raw, values["machine.holes"][-1]]
        return Change(values=values, words=f"hole {len(old) + 1}: {words(x, y, units)}", text=f"add hole {len(old) + 1}")

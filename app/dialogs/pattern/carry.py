"""What counts from the datum of the pattern, written anew where the datum goes elsewhere."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from app.view3d.written import written
from framecore.brief import BriefSource
from framecore.brief.model import Brief


def carried(source: BriefSource, brief: Brief, shift: tuple[float, float]) -> dict[str, Any]:
    """Return the keys by which the machine stays over its holes when every x, y of it grows by ``shift``, mm.

    Heights keep the words they were typed in; nothing is returned where nothing shifts.
    """
    if shift == (0.0, 0.0):
        return {}
    units, machine = brief.units, brief.machine

    def there(place: Sequence[float], raw: Any) -> list[Any]:
        z = raw[2] if isinstance(raw, (list, tuple)) and len(raw) == 3 else written(place[2], units)
        return [written(place[0] + shift[0], units), written(place[1] + shift[1], units), z]

    values: dict[str, Any] = {
        "machine.centre_of_mass": there(machine.centre_of_mass, source.value("machine.centre_of_mass"))
    }
    boxes = source.value("machine.outline")
    if isinstance(boxes, list):
        pairs = zip(boxes, machine.outline, strict=True)
        values["machine.outline"] = [{**row, "at": there(box.at, row["at"])} for row, box in pairs]
    for key, loads in (("moving", machine.moving), ("fitted", machine.fitted)):
        rows = source.value(f"machine.{key}")
        if isinstance(rows, list):
            values[f"machine.{key}"] = [
                {**row, **{end: there(getattr(load, end), row[end]) for end in ("at", "to") if end in row}}
                for row, load in zip(rows, loads, strict=True)
            ]
    return values

"""The stand's own sizes as handles: length, depth, height, lower ring, and where bearers lie."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np

from app.numbers import length
from app.view3d.handles import Change, Floats, Handle, Handles, Here, Vector, X, Y, Z
from app.view3d.written import as_typed, read, snapped, typed, written

FRAMES = ("four-post", "trestle", "pedestal pair", "workbench")  # layouts that length and depth shape


@dataclass(frozen=True, slots=True, kw_only=True)
class Size:
    """One size: the key it sets, where its grip stands, which way it goes, and how the grip's way gives the size.

    ``value``: mm from a point of the grip's line. ``shown``: whether the layout has it.
    """

    key: str
    mark: str
    name: str
    way: Vector
    at: Callable[[Here], Vector]
    value: Callable[[Floats], float]
    shown: Callable[[Here], bool]


SIZES = (
    Size(
        key="frame.length", mark="L", name="length", way=X, at=lambda h: (h.brief.frame.length / 2, 0.0, h.seat),
        value=lambda p: 2 * float(p[0]), shown=lambda h: h.brief.frame.layout in FRAMES,
    ),
    Size(
        key="frame.depth", mark="D", name="depth", way=Y,
        at=lambda h: (0.0, -h.brief.frame.depth / 2, h.seat),
        value=lambda p: -2 * float(p[1]), shown=lambda h: h.brief.frame.layout in FRAMES,
    ),
    Size(
        key="frame.height", mark="H", name="height", way=Z,
        at=lambda h: (-h.brief.frame.length / 2, 0.0, h.seat if h.brief.frame.height is None else h.brief.frame.height),
        value=lambda p: float(p[2]), shown=lambda h: True,
    ),
    Size(
        key="frame.lower_ring", mark="R", name="lower ring", way=Z,
        at=lambda h: (h.brief.frame.length / 2, -h.brief.frame.depth / 2, h.brief.frame.lower_ring),
        value=lambda p: float(p[2]),
        shown=lambda h: h.brief.frame.layout in ("four-post", "workbench") and h.brief.frame.lower_ring > 0,
    ),
)  # fmt: skip
_BY_KEY = {s.key: s for s in SIZES}


class SizeHandles(Handles):
    """Length, depth, height, lower ring and bearers of the stand."""

    title = "Sizes"

    def handles(self, here: Here) -> tuple[Handle, ...]:
        """Return a grip for every size that the layout has, then one a bearer."""
        out = [
            Handle(
                id=s.key, at=s.at(here), ways=(s.way,), mark=s.mark,
                name=f"{s.name} {length(s.value(np.array(s.at(here))), here.brief.units)}",
            )
            for s in SIZES if s.shown(here)
        ]  # fmt: skip
        out += [
            Handle(
                id=f"bearer {k}", at=(x, 0.0, here.seat), ways=(X,), mark=f"B{k}",
                name=f"bearer {k} at x {length(x, here.brief.units)}",
            )
            for k, x in enumerate(_bearers(here), 1)
        ]  # fmt: skip
        return tuple(out)

    def moved(self, here: Here, handle: Handle, to: Floats, free: bool) -> Change:
        """Set the size, or the place of a bearer; a bearer that is taken hold of is fixed, and the others with it."""
        if handle.id in _BY_KEY:
            size = _BY_KEY[handle.id]
            value = size.value(to)
            return self._sized(here, size, value if free else snapped(value, here.brief.units))
        return self._placed(here, handle, float(to[0]) if free else snapped(float(to[0]), here.brief.units))

    def _sized(self, here: Here, size: Size, value: float, raw: Any = None) -> Change:
        units = here.brief.units
        said = written(value, units) if raw is None else raw
        return Change(values={size.key: said}, words=f"{size.name} {length(value, units)}", text=size.name)

    def _placed(self, here: Here, handle: Handle, x: float, raw: Any = None) -> Change:
        units = here.brief.units
        k = int(handle.id.split()[1]) - 1
        was = here.source.value("frame.bearers_at")
        places = list(was) if was else [written(v, units) for v in _bearers(here)]
        places[k] = written(x, units) if raw is None else raw
        words = f"bearer {k + 1} at x {length(x, units)}"
        return Change(values={"frame.bearers_at": places}, words=words, text=f"place bearer {k + 1}")

    def fields(self, here: Here, handle: Handle) -> tuple[tuple[str, str], ...]:
        """Return the value as typed."""
        if handle.id in _BY_KEY:
            raw = here.source.value(handle.id)
            size = _BY_KEY[handle.id]
            mm = size.value(np.array(size.at(here)))
            return ((size.name, raw if isinstance(raw, str) and raw != "from elbow" else typed(mm, here.brief.units)),)
        return (("x", typed(handle.at[0], here.brief.units)),)

    def typed(self, here: Here, handle: Handle, texts: tuple[str, ...]) -> Change:
        """Set what is typed, and keep the words."""
        name = _BY_KEY[handle.id].name if handle.id in _BY_KEY else "x"
        value, raw = read(name, texts[0], here.brief.units), as_typed(texts[0], here.brief.units)
        if handle.id in _BY_KEY:
            return self._sized(here, _BY_KEY[handle.id], value, raw)
        return self._placed(here, handle, value, raw)


def _bearers(here: Here) -> tuple[float, ...]:
    """Return x of each bearer: where it is fixed, else where it lies now."""
    if here.brief.frame.layout != "four-post":
        return ()
    return here.brief.frame.bearers_at or here.bearers

"""The stand's own sizes as handles, and where its bearers lie."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np

from app.numbers import length, plain, shown
from app.view3d.common_sizes import COMMON
from app.view3d.handles import Change, Floats, Handle, Handles, Here, X
from app.view3d.limits import Limits, fault, short
from app.view3d.own_sizes import OWN
from app.view3d.sizes import Size
from app.view3d.snaps import Stop, sold_stops, stopped
from app.view3d.written import as_typed, read, snapped, step, typed, written
from app.words import tr
from framecore.errors import UnitError
from framecore.frame.machine import machine_datum
from framecore.units import format_quantity, parse_angle

SIZES = (*COMMON, *OWN)
ANGLE_STEP = 0.5  # degrees
NEAR_HOLES = 4.0  # mm within which a bearer's middle goes under holes


class SizeHandles(Handles):
    """A grip for every size that the stand has, then one a bearer."""

    title = "Sizes"

    def __init__(self) -> None:
        self._limits: Limits | None = None
        self._sold: tuple[Here, str, tuple[Stop, ...]] | None = None

    def handles(self, here: Here) -> tuple[Handle, ...]:
        """Return a grip for every size that the stand has, then one a bearer."""
        out = []
        for s in SIZES:
            if s.shown(here):
                at, way = s.at(here), s.way(here)
                value, more = s.value(here, np.array(at)), s.value(here, np.array(at) + np.array(way))
                out.append(
                    Handle(id=s.key, at=at, ways=(way,), mark=s.mark, name=_words(here, s, value), grows=more > value)
                )
        out += [
            Handle(
                id=f"bearer {k}", at=(x, 0.0, here.seat), ways=(X,), mark=f"B{k}",
                name=f"bearer {k} at x {length(x, here.brief.units)}",
            )
            for k, x in enumerate(_bearers(here), 1)
        ]  # fmt: skip
        return tuple(out)

    # -- moving ------------------------------------------------------------------------------------------

    def moved(self, here: Here, handle: Handle, to: Floats, free: bool, reach: float = 0.0) -> Change:
        """Set the size, or the place of a bearer; a bearer that is taken hold of is fixed, and the others with it."""
        size = _size(here, handle.id)
        value = float(to[0]) if size is None else size.value(here, to)
        stop = None
        if not free and size is not None and not size.degrees and reach > 0:
            stop = stopped(value, here.brief.units, reach * abs(size.factor), self._stops(here, size.key))
        elif not free and size is None and reach > 0:
            stop = _under_holes(here, value, reach)
        if stop is None:
            return self._held(here, handle, value if free else _snapped(here, size, value))
        change = self._held(here, handle, stop.value)
        return replace(change, words=f"{change.words}: {stop.words}") if stop.words and not change.note else change

    def nudged(self, base: Here, here: Here, handle: Handle, way: int, sign: float, free: bool) -> Change:
        """Change the value by one step of its own."""
        size = _size(here, handle.id)
        now = handle.at[0] if size is None else size.value(here, np.array(handle.at))
        by = _step(here, size) * (0.1 if free else 1.0) * sign
        return self._held(base, handle, now + (by if handle.grows else -by))

    def _held(self, here: Here, handle: Handle, value: float) -> Change:
        """Go as far as there is a stand."""
        if self._limits is None or self._limits.here is not here:
            self._limits = Limits(here)
        size = _size(here, handle.id)
        begun = handle.at[0] if size is None else size.value(here, np.array(size.at(here)))

        def make(v: float) -> Change:
            change = self._to(here, handle, v)
            if abs(v - begun) > 1e-6:
                return change
            # There and back again: the brief is as it was, typed or not.
            return replace(change, values={key: here.source.value(key) for key in change.values})

        change, why = self._limits.held(begun, value, _step(here, size), make)
        if why is None:
            return change
        return replace(change, words=tr("{what}, no further", what=tr(change.words)), note=short(why))

    def _stops(self, here: Here, key: str) -> tuple[Stop, ...]:
        if self._sold is None or self._sold[0] is not here or self._sold[1] != key:
            self._sold = (here, key, sold_stops(here.stand, key) if here.stand is not None else ())
        return self._sold[2]

    def _to(self, here: Here, handle: Handle, value: float, raw: Any = None) -> Change:
        size = _size(here, handle.id)
        if size is None:
            return self._placed(here, handle, value, raw)
        said = raw
        if raw is None:
            said = _number(round(value, 2)) if size.degrees else written(value, here.brief.units)
        return Change(values={size.key: said}, words=_words(here, size, value), text=size.name)

    def _placed(self, here: Here, handle: Handle, x: float, raw: Any = None) -> Change:
        units = here.brief.units
        k = int(handle.id.split()[1]) - 1
        was = here.source.value("frame.bearers_at")
        places = list(was) if was else [written(v, units) for v in _bearers(here)]
        places[k] = written(x, units) if raw is None else raw
        words = f"bearer {k + 1} at x {length(x, units)}"
        return Change(values={"frame.bearers_at": places}, words=words, text=f"place bearer {k + 1}")

    # -- typing ------------------------------------------------------------------------------------------

    def fields(self, here: Here, handle: Handle) -> tuple[tuple[str, str], ...]:
        """Return the value as typed."""
        size = _size(here, handle.id)
        if size is None:
            return (("x", typed(handle.at[0], here.brief.units)),)
        raw = here.source.value(handle.id)
        value = size.value(here, np.array(size.at(here)))
        if isinstance(raw, str) and raw != "from elbow":
            return ((size.name, raw),)
        return ((size.name, shown(f"{round(value, 2):g}") if size.degrees else typed(value, here.brief.units)),)

    def typed(self, here: Here, handle: Handle, texts: tuple[str, ...]) -> Change:
        """Set what is typed, and keep the words. Raises ``UnitError`` also where it would give no stand."""
        size = _size(here, handle.id)
        if size is not None and size.degrees:
            value = _angle(size.name, texts[0])
            change = self._to(here, handle, value)
        else:
            value = read(size.name if size is not None else "x", texts[0], here.brief.units)
            change = self._to(here, handle, value, as_typed(texts[0], here.brief.units))
        why = fault(here, change.values)
        if why is not None and fault(here, {}) is None:
            raise UnitError(why.message)
        return change

    def removed(self, here: Here, handle: Handle) -> Change | None:
        """Let bearers follow the machine's holes again; a size cannot be taken out."""
        if _size(here, handle.id) is not None or not here.brief.frame.bearers_at:
            return None
        return Change(values={"frame.bearers_at": None}, words="bearers are free again", text="free the bearers")


def _size(here: Here, name: str) -> Size | None:
    return next((s for s in SIZES if s.key == name and s.shown(here)), None) or next((s for s in SIZES if s.key == name), None)


def _words(here: Here, size: Size, value: float) -> str:
    """Return a size with its value, and what else there is to say of it."""
    more = size.more(here, value)
    said = " ".join(format_quantity(value, "deg")) if size.degrees else length(value, here.brief.units)
    return f"{tr(size.name)} {shown(said)}" + (f", {more}" if more else "")


def _step(here: Here, size: Size | None) -> float:
    """Return what one key changes a value by."""
    if size is None:
        return step(here.brief.units)
    return ANGLE_STEP if size.degrees else step(here.brief.units) * abs(size.factor)


def _snapped(here: Here, size: Size | None, value: float) -> float:
    if size is not None and size.degrees:
        return round(value / ANGLE_STEP) * ANGLE_STEP
    return snapped(value, here.brief.units)


def _number(value: float) -> float | int:
    return int(value) if float(value).is_integer() else value


def _angle(name: str, text: str) -> float:
    try:
        return parse_angle(plain(text))
    except UnitError as error:
        raise UnitError(f"{name}: {error}") from None


def _bearers(here: Here) -> tuple[float, ...]:
    """Return x of each bearer: where it is fixed, else where it lies now; none where none can be fixed."""
    if not here.bearers:
        return ()
    return here.brief.frame.bearers_at or here.bearers


def _under_holes(here: Here, x: float, reach: float) -> Stop | None:
    """Return the middle under the machine's holes that a bearer is near, or the middle of the stand."""
    brief = here.brief
    dx, _, _ = machine_datum(brief, here.seat)
    middles = sorted({round(hx + dx, 3) for hx, _ in brief.machine.holes} | {0.0})
    near = min(middles, key=lambda m: abs(m - x))
    if abs(near - x) > min(reach, NEAR_HOLES):
        return None
    return Stop(near, tr("in the middle of the stand") if near == 0.0 else tr("under the machine's holes"))

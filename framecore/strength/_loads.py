"""Everything that weighs on a stand, each at its place, and what of it may move or be missing."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from framecore.brief.kinds import MovingLoad
from framecore.brief.model import Brief
from framecore.frame.machine import centre_on_stand, machine_datum
from framecore.frame.model import Frame, Plate, PlateRole, Vector
from framecore.frame.vector import along

Floats = NDArray[np.float64]
_NEAREST = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class Load:
    """A weight in the stand's axes.

    ``at`` and ``to`` the ends of its travel, mm; ``optional``: it may be missing; ``on_machine``: it stays on
    the machine when that is lifted off. A moving part of the machine is written as the change it makes:
    ``shift`` True, ``at`` zero, ``to`` the way it travels. ``on``: the joints that carry it in equal parts,
    where they are known.
    """

    name: str
    mass: float
    at: Vector
    to: Vector
    optional: bool = False
    on_machine: bool = False
    shift: bool = False
    on: tuple[str, ...] = ()


def loads_on(brief: Brief, frame: Frame) -> tuple[Load, ...]:
    """Return the machine with its moving parts, what is fitted on it, what is stored in the stand or bolted on it.

    The machine's mass counts only where it has mounts to stand on. A moving part is in the machine's mass and
    centre of mass already, at the place ``at`` of its row.
    """
    m = brief.machine
    out: list[Load] = []
    stands = bool(frame.mounts) and m.mass > 0
    if stands:
        centre = centre_on_stand(brief, frame.seat)
        out.append(Load(name=m.name or m.kind, mass=m.mass, at=centre, to=centre, on_machine=True))
        for part in m.moving:
            way = (part.to[0] - part.at[0], part.to[1] - part.at[1], part.to[2] - part.at[2])
            out.append(Load(name=part.name, mass=part.mass, at=(0.0, 0.0, 0.0), to=way, on_machine=True, shift=True))
    x, y, z = machine_datum(brief, frame.seat)
    for part in m.fitted if stands else ():
        out.append(_moved(part, (x, y, z), on_machine=True))
    out += [_moved(part, (0.0, 0.0, 0.0), on_machine=False) for part in brief.frame.stored]
    for plate in frame.plates:
        if plate.load_kg > 0:
            at = _middle_of(plate)
            out.append(Load(name=f"load of the {plate.name}", mass=plate.load_kg, at=at, to=at, optional=True, on=plate.on))
    return tuple(out)


def _moved(part: MovingLoad, by: Vector, *, on_machine: bool) -> Load:
    at, to = ((p[0] + by[0], p[1] + by[1], p[2] + by[2]) for p in (part.at, part.to))
    return Load(name=part.name, mass=part.mass, at=at, to=to, optional=True, on_machine=on_machine)


def _middle_of(plate: Plate) -> Vector:
    """Return the middle of the box round a plate's lower face, where what is bolted on it bears."""
    u, v = ((plate.outline.min(0) + plate.outline.max(0)) / 2).tolist()
    return along(along(plate.origin, u, plate.u_axis), v, plate.v_axis)


def point(values: Floats) -> Vector:
    """Return an array of three as a point."""
    x, y, z = values.tolist()
    return (x, y, z)


def together(stand_mass: float, stand_centre: Vector, loads: tuple[Load, ...]) -> tuple[float, Vector]:
    """Return mass and centre of the stand with all that stands on it, every part where its row begins."""
    masses = np.array([stand_mass, *(0.0 if k.shift else k.mass for k in loads)])
    places = np.array([stand_centre, *(k.at for k in loads)])
    x, y, z = (masses @ places / masses.sum()).tolist()
    return float(masses.sum()), (x, y, z)


def lumps(
    brief: Brief, frame: Frame, nodes: list[Vector], index: dict[str, int], heart: int
) -> list[tuple[int, float, Vector]]:
    """Return (node, kg, offset mm) of what is fitted and stored, for the analysis model.

    Fitted loads stand rigidly on the machine's heart. Stored ones hang on the joints under the shelf, or on the
    joints nearest to them, in the shares that give their weight its true line; where no such shares press down
    on every joint the nearest one carries it all on an arm.
    """
    out: list[tuple[int, float, Vector]] = []
    for load in loads_on(brief, frame):
        if not load.optional or load.mass <= 0:
            continue
        if load.on_machine and heart >= 0:
            out.append((heart, load.mass, _from(nodes[heart], load.at)))
            continue
        if load.on:
            out += [(index[name], load.mass / len(load.on), _from(nodes[index[name]], load.at)) for name in load.on]
            continue
        at = _holders(frame, nodes, index, load.at)
        rows = np.array([(1.0, nodes[n][0], nodes[n][1]) for n in at]).T
        share, *_ = np.linalg.lstsq(rows, np.array([1.0, load.at[0], load.at[1]]), rcond=None)
        if share.min() >= 0.0 and np.allclose(rows @ share, (1.0, *load.at[:2]), atol=1e-6):
            out += [(n, load.mass * float(s), (0.0, 0.0, 0.0)) for n, s in zip(at, share, strict=True)]
        else:
            near = min(at, key=lambda n: sum(c * c for c in _from(nodes[n], load.at)))
            out.append((near, load.mass, _from(nodes[near], load.at)))
    return out


def _from(node: Vector, point: Vector) -> Vector:
    return (point[0] - node[0], point[1] - node[1], point[2] - node[2])


def _holders(frame: Frame, nodes: list[Vector], index: dict[str, int], at: Vector) -> list[int]:
    over = (p for p in frame.plates if p.role is PlateRole.SHELF and p.on and p.origin[2] <= at[2] < frame.ring_top)
    shelf = next(over, None)
    if shelf is not None:
        return [index[name] for name in shelf.on if name in index]
    joints = [index[j.name] for j in frame.joints]
    return sorted(joints, key=lambda n: sum(c * c for c in _from(nodes[n], at)))[:_NEAREST]

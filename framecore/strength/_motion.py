"""How the stand shakes: what each mode does, and which running speeds meet one."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from framecore.brief.model import Brief
from framecore.fem import Assembled, FrameModel

Floats = NDArray[np.float64]
# What a mode can do with the stand as a whole, in the order of the columns of ``Motion.mass_share``.
MOTIONS = ("sway sideways", "sway front to back", "bounce", "rocking front to back", "rocking sideways", "twist")
# Induction motors of four poles near full load, rpm, on 50 Hz and on 60 Hz; grinders have two (common practice).
MOTOR_50, MOTOR_60 = 1425.0, 1725.0
_TWO_POLES = {"grinder": 2.0}
_NO_MOTOR = frozenset({"surface plate", "workbench"})
_MOST = 0.5  # a group that holds more of the strain energy than this names the mode
_SLANT = 0.4  # both sideways shares this alike: the top goes neither along nor across
_LOCAL = 0.1  # a mode that carries less of the mass than this every way is a member's own


@dataclass(frozen=True, slots=True, kw_only=True)
class RunningSpeed:
    """A speed at which something turns.

    ``what`` "spindle" or "motor"; ``rpm``; ``hz`` = rpm / 60; ``nearest`` index of the mode nearest to it;
    ``gap`` = abs(f - hz) / hz of that mode; ``origin`` "typed" or "assumed".
    """

    what: str
    rpm: float
    hz: float
    nearest: int
    gap: float
    origin: str


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Motion:
    """The modes in words and against the running speeds. k modes.

    Attributes
    ----------
    names : (k,) "sway sideways", "twist", "rocking on the feet", "bed", ...; alike ones are numbered
    mass_share : (k, 6) effective modal mass over the mass there is, along x, y, z and turning about x, y, z
        through the centre of mass; over all modes of the model every column sums to 1
    groups : what holds strain energy; ``energy`` (groups, k) shares, every column sums to 1
    speeds : running speeds, motor last
    """

    names: tuple[str, ...]
    mass_share: Floats
    groups: tuple[str, ...]
    energy: Floats
    speeds: tuple[RunningSpeed, ...]


def describe_motion(
    brief: Brief, built: Assembled, groups: tuple[str, ...], hz: Floats, shapes: Floats
) -> Motion:
    """Say what the modes do and how near the running speeds come.

    Parameters
    ----------
    groups : per element what it belongs to: a role, "bed", "screws", "feet", "sheet"
    hz, shapes : (k,) and (n, 6, k) at unit modal mass (1 t)
    """
    share = mass_shares(built, shapes)
    names, energy = strain_energy(built, groups, shapes)
    return Motion(
        names=_named(share, names, energy), mass_share=share, groups=names, energy=energy,
        speeds=running_speeds(brief, hz),
    )  # fmt: skip


def rigid_motions(model: FrameModel, centre: Floats) -> Floats:
    """(n, 6, 6): the six ways of moving as a rigid body, turning about axes through ``centre``."""
    out = np.zeros((model.n_nodes, 6, 6))
    out[:, range(6), range(6)] = 1.0
    x, y, z = (model.nodes - centre).T
    out[:, 1, 3], out[:, 2, 3] = -z, y
    out[:, 0, 4], out[:, 2, 4] = z, -x
    out[:, 0, 5], out[:, 1, 5] = -y, x
    return out


def mass_shares(built: Assembled, shapes: Floats) -> Floats:
    """Effective modal mass over rigid-body mass, (k, 6); ``shapes`` at unit modal mass.

    Source: m_eff = (phi' M r)^2 / (phi' M phi); Clough, Penzien, Dynamics of Structures (1993), from memory.
    """
    mass, topology = built.mass, built.topology
    # About the origin first: the rigid-body mass itself says where the centre of mass is.
    free = topology.inward(rigid_motions(built.model, np.zeros(3)))
    heavy = mass @ free
    whole = free.T @ heavy
    m = whole[0, 0]
    centre = np.array([whole[1, 5], whole[2, 3], whole[0, 4]]) / m
    shift = np.eye(6)
    cx, cy, cz = centre
    # A turn about the centre is one about the origin less what it moves the centre by.
    shift[:3, 3], shift[:3, 4], shift[:3, 5] = (0, cz, -cy), (-cz, 0, cx), (cy, -cx, 0)
    taken = topology.inward(shapes).T @ (heavy @ shift)
    spread = np.diagonal(shift.T @ whole @ shift)
    return np.asarray(taken**2 / spread)


def strain_energy(built: Assembled, groups: tuple[str, ...], shapes: Floats) -> tuple[tuple[str, ...], Floats]:
    """Share of each group in the strain energy of each mode: names and (groups, k); springs count as feet."""
    model = built.model
    ends = shapes[model.elements].reshape(len(model.elements), 12, -1)
    work = (ends * (built.transform.transpose(0, 2, 1) @ (built.local @ ends))).sum(1)
    names = tuple(dict.fromkeys([*groups, "feet"]))
    at = {name: k for k, name in enumerate(names)}
    energy = np.zeros((len(names), shapes.shape[2]))
    np.add.at(energy, [at[g] for g in groups], work)
    energy[at["feet"]] += (model.stiffness[:, :, None] * shapes[model.spring_nodes] ** 2).sum((0, 1))
    return names, energy / energy.sum(0)


def element_groups(parts: tuple[str, ...], member: NDArray[np.int32], roles: tuple[str, ...]) -> tuple[str, ...]:
    """Say per element what it belongs to; ``roles`` of the frame's members."""
    words = {"bed": "bed", "arm": "bed", "mount": "screws"}
    out = []
    for part, m in zip(parts, member.tolist(), strict=True):
        if m >= 0:
            out.append(roles[m])
        else:
            out.append(words.get(part, "feet" if part.startswith("foot ") else "sheet"))
    return tuple(out)


def _named(share: Floats, groups: tuple[str, ...], energy: Floats) -> tuple[str, ...]:
    """Name each mode by where it bends and which way it goes."""
    said = []
    at = {g: k for k, g in enumerate(groups)}
    for k, row in enumerate(share):
        held = energy[:, k]
        feet = float(held[at["feet"]])
        bed = sum(float(held[at[g]]) for g in ("bed", "screws") if g in at)
        way = int(row.argmax())
        if bed > _MOST:
            said.append("machine on its bed" if "bed" in at and held[at["bed"]] > bed / 2 else "machine on its screws")
        elif feet > _MOST:
            said.append("rocking on the feet")
        elif row[way] < _LOCAL:
            said.append(f"{groups[int(held.argmax())]}s alone")
        else:
            # The sideways share of a mode that also turns the stand tells what the eye sees first.
            main = int(np.argmax(row[[0, 1, 5]]))
            if main < 2 and min(row[0], row[1]) > _SLANT * max(row[0], row[1]):
                said.append("slanting sway")
                continue
            said.append(MOTIONS[(0, 1, 5)[main]] if row[[0, 1, 5]][main] >= _LOCAL else MOTIONS[way])
    many = Counter(said)
    seen: Counter[str] = Counter()
    out = []
    for name in said:
        seen[name] += 1
        out.append(f"{name} {seen[name]}" if many[name] > 1 else name)
    return tuple(out)


def running_speeds(brief: Brief, hz: Floats) -> tuple[RunningSpeed, ...]:
    """Every speed of spindle and motor with its nearest mode; empty without a machine that turns."""
    machine = brief.machine
    if machine.mass <= 0 or not len(hz):
        return ()
    origin = "assumed" if "machine.speeds" in brief.assumed else "typed"
    turning = [("spindle", rpm, origin) for rpm in sorted(set(machine.speeds)) if rpm > 0]
    rpm, origin = motor_speed(brief)
    if rpm > 0:
        turning.append(("motor", rpm, origin))
    if not turning:
        return ()
    turns = np.array([rpm for _, rpm, _ in turning]) / 60
    gaps = np.abs(hz - turns[:, None]) / turns[:, None]
    near = gaps.argmin(1).tolist()
    return tuple(
        RunningSpeed(what=what, rpm=rpm, hz=rpm / 60, nearest=k, gap=gap, origin=origin)
        for (what, rpm, origin), k, gap in zip(turning, near, gaps.min(1).tolist(), strict=True)
    )


def motor_speed(brief: Brief) -> tuple[float, str]:
    """Return the motor's speed in rpm and its origin; 0 where there is no motor.

    Not given, it is that of a four-pole motor on the mains that go with the brief's units: 50 Hz with metric
    ones, 60 Hz with inches.
    """
    machine = brief.machine
    if machine.motor_speed > 0:
        return machine.motor_speed, "typed"
    if machine.kind in _NO_MOTOR:
        return 0.0, "assumed"
    return (MOTOR_50 if brief.units == "metric" else MOTOR_60) * _TWO_POLES.get(machine.kind, 1.0), "assumed"

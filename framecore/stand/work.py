"""What the workshop is told about a stand, worked out once when it is first asked for."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from framecore.figures.model import Answers, Figure
from framecore.frame.model import Frame, Member, Role
from framecore.seat.turned import seat_parts
from framecore.shop._say import size
from framecore.shop._step import Facts
from framecore.shop.allowance import end_pulls
from framecore.shop.assemblies import STAND, assemblies, wholes
from framecore.shop.filler import filler
from framecore.shop.finish import finish_plan, painted_area
from framecore.shop.lifting import HOISTED, hook_height, lift, passage
from framecore.shop.shrink import chains, squareness
from framecore.shop.steps import build_steps
from framecore.shop.welds import welds
from framecore.shop.work import Assembly, Lift, Weld, Work
from framecore.solids.contacts import contacts

if TYPE_CHECKING:
    from framecore.stand.model import Stand

FLAT, HANDS = 100.0, 750.0  # mm: from straight bars on the floor to a bench or to hands at the side (common practice)
REACHED = 0.9  # of the weld that the check counts; less is told
HANDS_DOWN, CLEAR = 700.0, 100.0  # mm: where hands take the stand's top rails, and how far it is raised (common practice)


def work_of(stand: Stand) -> Work:
    """Return assemblies, welds, shrinkage, steps, finish and lifts of a stand; kept as long as the stand is."""
    return stand.work()


def make_work(answers: Answers, figures: Mapping[str, Figure]) -> Work:
    """Work out what the workshop is told; ``figures`` are those that every answer carries."""
    brief, frame, solids = answers.brief, answers.frame, answers.solids
    parts = assemblies(frame, solids)
    touching = contacts(frame, solids, wholes(parts))
    seat = seat_parts(brief, frame, answers.strength)
    seams = welds(brief, frame, touching, parts, seat.boss)
    rows = chains(frame, end_pulls(brief, frame), brief.units)
    plan = finish_plan(brief, frame, solids, touching)
    lifts = _lifts(answers, parts)
    facts = Facts(
        assemblies=parts, welds=seams, finish=plan, lifts=lifts, torque=_value(figures, "mount.torque"),
        turn_out=tuple((f.name, _value(figures, f"feet.turn_out.{f.name.removeprefix('foot ')}")) for f in frame.feet),
        twist=brief.limits.bed_twist, sleeves=("loose" if brief.mounting.slot else "fixed") if seat.sleeves else "",
    )  # fmt: skip
    return Work(
        assemblies=parts, welds=seams, filler=filler(seams, brief.welding.process, brief.units), chains=rows,
        squares=squareness(rows, _opposite(frame), brief.units), steps=build_steps(brief, frame, answers.shop, facts),
        finish=plan, lifts=lifts, painted=painted_area(frame, touching), notes=_notes(answers, seams),
    )  # fmt: skip


def _notes(answers: Answers, seams: Sequence[Weld]) -> tuple[str, ...]:
    """Where the check of the welds counts on more of a weld than can be laid."""
    on_plate: dict[str, list[str]] = {}
    for p in answers.frame.plates:
        for name in p.on:
            on_plate.setdefault(name, []).append(p.name)
    short: dict[tuple[float, float], list[str]] = {}
    uses: dict[tuple[float, float], float] = {}
    for c in answers.strength.checks.welds:
        joints = {c.joint, *on_plate.get(c.joint, ())}
        own = [w for w in seams if c.member in w.parts and w.joint in joints]
        laid = sum(w.length for w in own)
        if laid < REACHED * c.length:
            key = (round(c.length), round(laid))
            short.setdefault(key, []).append(f"{c.member} at {c.joint}")
            area = sum(w.length * w.throat for w in own)
            uses[key] = max(uses.get(key, 0.0), c.use * c.area / area if area else math.inf)
    out = []
    for (asked, laid), where in short.items():
        more = f" and {len(where) - 1} more like it" if len(where) > 1 else ""
        out.append(
            f"{where[0]}{more}: the check counts {size(answers.brief.units, asked)} of weld, "
            f"{size(answers.brief.units, laid)} can be laid; its utilisation is then about {uses[asked, laid]:.0%}."
        )
    return tuple(out)


def _value(figures: Mapping[str, Figure], figure: str) -> float:
    found = figures.get(figure)
    return float(found.value) if found is not None else 0.0


def _lifts(answers: Answers, parts: tuple[Assembly, ...]) -> tuple[Lift, ...]:
    """Every assembly off the floor, the stand, and the machine onto its seat."""
    units = answers.brief.units
    out = [lift(a.name, a.mass, a.size[1], FLAT, HANDS, units, HOISTED) for a in parts if a.name != STAND]
    whole = next(a for a in parts if a.name == STAND)
    wide, high = passage(whole.size)
    carried = lift(STAND, whole.mass, min(whole.size[1], whole.size[2]), HANDS_DOWN, HANDS_DOWN + CLEAR, units)
    out.append(replace(carried, door=wide, door_high=high))
    machine = answers.brief.machine
    if machine.mass > 0:
        boxes = machine.outline
        deep = max((b.size[1] for b in boxes), default=answers.frame.depth)
        tall = max((b.at[2] + b.size[2] for b in boxes), default=0.0) - min((b.at[2] for b in boxes), default=0.0)
        on = lift("machine", machine.mass, deep, FLAT, answers.frame.seat, units, HOISTED)
        out.append(replace(on, hook=hook_height(tall, seat=answers.frame.seat) if tall > 0 else 0.0))
    return tuple(out)


def _opposite(frame: Frame) -> list[tuple[str, str, str, float]]:
    """Rails one over the other in the front and in each end, and rails across from each other in the rings.

    None where legs lean: their frames are no rectangles.
    """
    if any(m.role is Role.LEG and abs(m.x_axis[2]) < 1 - 1e-6 for m in frame.members):
        return []
    rails = [m for m in frame.members if m.role in (Role.TOP_RAIL, Role.LOWER_RAIL)]
    out = []
    for side in ("front", "back", "left", "right"):
        top = next((m for m in rails if m.name == f"top rail {side}"), None)
        low = next((m for m in rails if m.name == f"lower rail {side}"), None)
        if top is not None and low is not None:
            out.append((side, top.name, low.name, _apart(top, low)))
    for level in ("top rail", "lower rail"):
        front = next((m for m in rails if m.name == f"{level} front"), None)
        back = next((m for m in rails if m.name == f"{level} back"), None)
        if front is not None and back is not None:
            out.append((f"{level.removesuffix(' rail')} from above", front.name, back.name, _apart(front, back)))
    return out


def _apart(a: Member, b: Member) -> float:
    return math.dist(
        [(p + q) / 2 for p, q in zip(a.start.point, a.end.point, strict=True)],
        [(p + q) / 2 for p, q in zip(b.start.point, b.end.point, strict=True)],
    )

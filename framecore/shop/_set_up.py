"""Steps from the finished stand to the machine that stands level on it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from framecore.brief.model import Brief
from framecore.catalogue import thread as find_thread
from framecore.frame.model import Frame
from framecore.shop import cautions
from framecore.shop._say import about, mass, names, quantity, within
from framecore.shop._step import Facts, step
from framecore.shop.work import Lift, Step

SEATING = {
    "bolted down": "",
    "jacking screws": " Bring all jacking screws up to the feet evenly first.",
    "hollow jacking screws": " Bring all jacking screws up to the feet evenly first.",
    "shims": " Fill every gap under a foot with shims first: no foot is drawn down.",
}
READ = {
    "surface plate": ("Level the plate", "Level along, across and corner to corner"),
    "lathe": ("Level it and take the twist out", "Level across the bed at both ends"),
    "mill": ("Level it and take the twist out", "Level on the table, along and across"),
}


def _lifted(brief: Brief, what: str, lift: Lift) -> str:
    own = mass(brief.units, lift.mass)
    return f"The {what}: {lift.text}." if lift.text.startswith(own) else f"The {what} is {own}: {lift.text}."


def _roll(brief: Brief) -> str:
    """How it is moved: on casters whose stems carry it, or tilted on to two wheels."""
    bare = "without the machine if it can be"
    if "tilt" in brief.casters.kind:
        return f"Put the wheels on, lift the other end until it runs on them and push it, {bare}; let it down on its feet."
    return (
        f"Put the casters on, screw their stems down evenly until the feet are off the floor, tighten their nuts and roll it, "
        f"{bare}; then screw the stems up until the wheels hang free."
    )


def set_up(brief: Brief, frame: Frame, facts: Facts) -> Iterator[Step]:
    u = brief.units
    whole = next((x for x in facts.lifts if x.name == "stand"), None)
    if frame.feet:
        yield step(
            "set up", "Screw the feet in",
            "Lay the stand on its side, screw every foot in with its lock nut on, to mid travel, and stand it up again.",
            caution=cautions.LIFT,
        )  # fmt: skip
    if frame.casters:
        yield step(
            "set up", "Roll it to its place", _roll(brief), caution=cautions.LIFT,
        )  # fmt: skip
    elif whole is not None:
        yield step("set up", "Bring it to its place", _lifted(brief, "stand", whole), caution=cautions.LIFT)
    if frame.feet:
        yield step(
            "set up", "Feet on the floor",
            f"All feet at mid travel{_turned(u, facts.turn_out)}. Then turn each until it bears and none can be turned "
            "by hand; lock the nuts.",
            measure="Level both ways on the seat", tolerance=f"{about(u, '1 mm in a metre', '1/64 in to the foot')} does here",
        )  # fmt: skip
    if brief.floor.anchor != "none" and frame.feet:
        wood = brief.floor.kind == "wood"
        yield step(
            "set up", "Anchor it",
            f"{'Screw it to the joists' if wood else f'Drill for {brief.floor.anchor} anchors'} beside the feet"
            + ("" if wood else ", blow the holes clean, set and tighten as their maker says")
            + "; find cables and pipes in the floor first.", caution=cautions.DRILLING,
        )  # fmt: skip


def _turned(units: str, turn_out: Sequence[tuple[str, float]]) -> str:
    """From mid travel: which feet are turned out and in, alike ones together."""
    out = []
    for way, sign in (("out", 1), ("back in", -1)):
        own = [(n.removeprefix("foot "), within(units, abs(v))) for n, v in turn_out if v * sign > 0.05]
        for amount in dict.fromkeys(a for _, a in own):
            out.append(f"{names(n for n, a in own if a == amount)} {amount} {way}")
    return f"; from there, for the fall of the floor, turn {', '.join(out)}" if out else ""


def level(brief: Brief, frame: Frame, facts: Facts) -> Iterator[Step]:
    if not frame.mounts:
        return
    machine = next((x for x in facts.lifts if x.name == "machine"), None)
    bolted = any(m.hole for m in frame.mounts)
    if machine is not None:
        yield step(
            "set up", "Set the machine on", f"{_lifted(brief, 'machine', machine)} Lower it centred on its places.",
            caution=f"{cautions.SLING if bolted else cautions.REST} {cautions.LIFT}",
        )  # fmt: skip
    if bolted:
        seating = brief.mounting.seating
        most = f"{quantity(brief.units, facts.torque, 'N m')} at most" if facts.torque else ""
        half = "; half is plenty on screws or shims" if most and seating != "bolted down" else ""
        yield step(
            "level", "Bolt it down",
            f"Draw the {find_thread(brief.machine.bolt).id} bolts up crosswise in two rounds.{SEATING[seating]}",
            measure="Torque" if most else "", tolerance=most + half, caution=cautions.PLUG,
        )  # fmt: skip
    if brief.machine.kind in READ:
        title, measure = READ[brief.machine.kind]
        twist = ", then the twist" if "twist" in title else ""
        yield step(
            "level", title,
            f"All feet bearing, then level enough{twist}, by the levelling record; read again after each move.",
            measure=measure, tolerance=f"readings alike within {quantity(brief.units, facts.twist, 'mm/m')}",
        )  # fmt: skip
    yield step(
        "level", "Look again after a week",
        f"{'Feet, bolts and level' if bolted else 'Feet and level'} once more: paint and floor settle. Write it into the "
        "record.",
        caution=cautions.MANUAL,
    )  # fmt: skip

"""The build, step by step from saw to level: what is done, what is measured, within what, and the caution of the place."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from framecore.brief.model import Brief
from framecore.catalogue import thread as find_thread
from framecore.frame.model import Frame, Plate, PlateRole
from framecore.shop import cautions
from framecore.shop.model import Shop
from framecore.shop.work import Assembly, Chain, Check, FinishPlan, Lift, Step, Weld
from framecore.units import POUND, format_length

SAWN = 0.5  # mm either way that a stop on a saw holds (common practice)
SAWN_SQUARE = 0.5  # mm over a section's width (common practice)
VENT = 3.0  # mm (common practice)
SHEETS = (PlateRole.TOP, PlateRole.SHELF, PlateRole.PANEL, PlateRole.TRAY, PlateRole.BACK, PlateRole.BACKSTOP)
METHODS = {
    "measure and drill": (
        "Mark the machine's holes from the datum corner by the hole sheet, punch, check every distance between punch marks "
        "against the sheet, drill small and then to size."
    ),
    "punch through the template": (
        "Tape the template's tiles together by their crosses, check the printed rulers with a steel rule, lay it on the "
        "datum, punch every hole through the paper, drill small and then to size."
    ),
    "drill through the machine": (
        "The holes are drilled last: set the machine in its place, mark through its own feet with a transfer punch, lift it "
        "off again and drill."
    ),
    "weld bearers last": (
        "The bearers are drilled on their own and bolted to the machine's feet; with the machine in its place they are "
        "tacked to the rails, the machine comes off and they are welded."
    ),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Facts:
    """What the steps are told from besides brief, frame and shop."""

    assemblies: Sequence[Assembly]
    welds: Sequence[Weld]
    chains: Sequence[Chain]
    finish: FinishPlan
    lifts: Sequence[Lift]
    torque: float  # N m, of the holding-down bolts; 0 where none
    turn_out: Sequence[tuple[str, float]]  # foot, mm out from mid travel
    twist: float  # most bed twist, mm/m


def build_steps(brief: Brief, frame: Frame, shop: Shop, facts: Facts) -> tuple[Step, ...]:
    """Return the steps in order, numbered from 1."""
    told = (
        *_saw(brief, frame, shop, facts), *_prepare(brief, frame), *_weld(brief, facts), *_after(brief, frame, facts),
        *_paint(brief, facts), *_set_up(brief, frame, facts), *_level(brief, frame, facts),
    )  # fmt: skip
    return tuple(replace(s, number=k) for k, s in enumerate(told, 1))


def _mm(brief: Brief) -> Callable[[float], str]:
    return lambda v: format_length(v, brief.units)


def _kg(brief: Brief, kg: float) -> str:
    return f"{kg / POUND:.0f} lb" if brief.units.startswith("inch") else f"{kg:.0f} kg"


def _step(stage: str, title: str, text: str, **more: str) -> Step:
    return Step(number=0, stage=stage, title=title, text=text, **more)  # type: ignore[arg-type]


def _saw(brief: Brief, frame: Frame, shop: Shop, facts: Facts) -> Iterator[Step]:
    mm = _mm(brief)
    yield _step(
        "saw", "Check the steel as it comes",
        "Measure the section, wall and squareness of every bar; set aside what is bent. Mark the straightest for the legs.",
        measure="Straightness against a string", tolerance=f"within {mm(3.0)} in any {mm(1000.0)}",
    )  # fmt: skip
    leave = [c for c in facts.chains if c.leave > 0]
    longer = ""
    if leave:
        worst = leave[0]
        longer = (
            f" Welding takes {mm(worst.low)} to {mm(worst.high)} off the row {worst.name}: cut it {mm(worst.leave)} longer "
            "where the size over all matters; the other rows by the sheet of pieces."
        )
    yield _step(
        "saw", "Saw the pieces",
        "By the cut plan, bar by bar, longest piece first; set a stop for pieces that are alike and mark each as it falls."
        + longer,
        measure="Length of every piece; a square on both ends",
        tolerance=f"{mm(SAWN)} either way; {mm(SAWN_SQUARE)} over the section", caution=cautions.SAWING,
    )  # fmt: skip
    plates = [p for p in shop.plates if p.steel]
    if plates:
        yield _step(
            "saw", "Cut and drill the plates",
            "Pads, blocks, gussets and sheets by their drawings; break the edges, countersink every hole that is tapped.",
            measure="Hole places on one plate of each kind", tolerance=f"{mm(0.5)} either way", caution=cautions.DRILLING,
        )  # fmt: skip


def _prepare(brief: Brief, frame: Frame) -> Iterator[Step]:
    mm = _mm(brief)
    ground = any(m.chamfer for m in frame.members)
    yield _step(
        "fit", "Clean the ends bright",
        f"Take rust, scale and oil off to {mm(25.0)} from every weld, inside the ends too"
        + ("; grind the chamfers where the sheet of pieces asks for them" if ground else "")
        + ". Wipe with a cleaner without chlorine and let it dry.",
        caution=f"{cautions.SOLVENT} {cautions.GRINDING}",
    )  # fmt: skip
    if any(m.profile.closed for m in frame.members):
        yield _step(
            "fit", "Vent the closed pieces",
            f"Drill a {mm(VENT)} hole into every hollow piece that welding closes at both ends, where it does not show: into "
            "the face that the neighbour covers, or low at the back.",
            caution=cautions.CLOSED,
        )  # fmt: skip
    if any(m.hole for m in frame.mounts):
        method = brief.mounting.method
        early = method in ("measure and drill", "punch through the template")
        sleeve = " Set the crush sleeves while the ends are open." if _tubes_drilled(frame) else ""
        yield _step(
            "drill" if early else "fit", "The machine's holes", METHODS[method] + sleeve,
            measure="Distance between every pair of holes" if early else "",
            tolerance=f"{mm(brief.mounting.marking)} either way" if early else "", caution=cautions.DRILLING if early else "",
        )  # fmt: skip


def _tubes_drilled(frame: Frame) -> bool:
    closed = {m.name for m in frame.members if m.profile.closed}
    return any(h.owner in closed and h.purpose.startswith("machine foot") for h in frame.holes)


def _weld(brief: Brief, facts: Facts) -> Iterator[Step]:
    first = True
    for a in facts.assemblies:
        own = [w for w in facts.welds if w.assembly == a.name]
        if not own and not a.checks:
            continue
        measure, tolerance = _measures(brief, a.checks)
        marks = list(dict.fromkeys(w.mark for w in own))
        order = f" Weld as the weld map numbers them ({', '.join(marks)}), opposite corners in turn, short runs."
        yield Step(
            number=0, stage="weld", title=a.name[:1].upper() + a.name[1:], text=a.text + (order if own else ""),
            measure=measure, tolerance=tolerance, caution=f"{cautions.FUME} {cautions.ZINC}" if first else "", assembly=a.name,
            pieces=(*a.members, *a.plates),
        )  # fmt: skip
        first = False


def _measures(brief: Brief, checks: Sequence[Check]) -> tuple[str, str]:
    """The measures of an assembly in one line, and what they may be off."""
    mm = _mm(brief)
    parts, within = [], []
    for pair in dict.fromkeys(c.pair for c in checks if c.kind == "diagonal"):
        own = [c for c in checks if c.pair == pair]
        parts.append(f"{pair} {mm(own[0].value)}")
        within.append(f"{pair} alike within {mm(own[0].tolerance)}")
    overs = [c for c in checks if c.kind == "over all"]
    for value in dict.fromkeys(round(c.value, 1) for c in overs):
        own = [c for c in overs if round(c.value, 1) == value]
        parts.append(f"{' and '.join(c.text.removeprefix('over all, ') for c in own)} {mm(own[0].value)}")
    if overs:
        within.append(f"over all {mm(overs[0].tolerance)} either way")
    heights = [c for c in checks if c.kind == "corner height"]
    if heights:
        parts.append(f"corner heights {mm(heights[0].value)}")
        within.append(f"heights alike within {mm(heights[0].tolerance)}")
    return "; ".join(parts), "; ".join(within)


def _after(brief: Brief, frame: Frame, facts: Facts) -> Iterator[Step]:
    mm = _mm(brief)
    flush = [w for w in facts.welds if w.flush]
    if flush:
        marks = ", ".join(dict.fromkeys(w.mark for w in flush))
        why = "; ".join(dict.fromkeys(w.why for w in flush))
        yield _step(
            "fit", "Dress what must be flat",
            f"Grind the welds {marks} flush with the face: {why}. Leave all others as they are.",
            measure="A straightedge over the dressed welds", tolerance=f"nothing over {mm(0.3)}", caution=cautions.GRINDING,
        )  # fmt: skip
    if brief.mounting.method in ("drill through the machine", "weld bearers last") and any(m.hole for m in frame.mounts):
        yield _step(
            "drill", "The machine as its own jig", METHODS[brief.mounting.method],
            measure="Every bolt drops in by hand", caution=f"{cautions.SLING} {cautions.FUME}",
        )  # fmt: skip
    tapped = [h for h in frame.holes if h.tapped]
    if tapped:
        threads = ", ".join(dict.fromkeys(h.tapped for h in tapped))
        yield _step(
            "drill", "Run the taps through",
            f"Welding draws tapped holes out of round: run the tap of {threads} through every one.",
            measure="Each stud and screw turns in by hand",
        )  # fmt: skip
    sheets = [p for p in frame.plates if p.role in SHEETS]
    if sheets:
        yield _step(
            "fit", "Sheets, tray and top", f"Fit {_names(sheets)} and take off again what is painted apart.",
        )  # fmt: skip


def _names(plates: Iterable[Plate]) -> str:
    names = list(dict.fromkeys(p.sheet or p.name for p in plates))
    return names[0] if len(names) == 1 else ", ".join(names[:-1]) + " and " + names[-1]


def _paint(brief: Brief, facts: Facts) -> Iterator[Step]:
    plan = facts.finish
    if brief.finish.paint == "none" or not plan.coats:
        return
    masked = ", ".join(name for name, _ in plan.masked)
    coats = "; ".join(f"{c.name} {c.litres:.2g} l" for c in plan.coats)
    yield _step(
        "finish", "Clean, mask and paint",
        f"Wash off all grease, key the surface, mask {masked}. {coats}. Plug the tapped holes.",
        measure="Each coat dry as the tin says before the next", caution=f"{cautions.PAINT} {cautions.SOLVENT}",
    )  # fmt: skip


def _set_up(brief: Brief, frame: Frame, facts: Facts) -> Iterator[Step]:
    mm = _mm(brief)
    whole = next((x for x in facts.lifts if x.name == "stand"), None)
    if whole is not None:
        yield _step(
            "set up", "Carry it to its place", f"The stand is {_kg(brief, whole.mass)}: {whole.text}.", caution=cautions.LIFT
        )
    if frame.feet:
        out = "; ".join(f"{n.removeprefix('foot ')} {mm(v)}" for n, v in facts.turn_out if abs(v) > 0.05)
        yield _step(
            "set up", "Feet on the floor",
            "Turn the feet in, all to mid travel" + (f", then out by {out} (negative: in)" if out else "")
            + ". Turn each until it bears and none can be turned by hand; lock the nuts.",
            measure="Level across both ways on the seat", tolerance=f"{mm(1.0)} in {mm(1000.0)} is enough here",
        )  # fmt: skip
    if brief.floor.anchor != "none":
        yield _step(
            "set up", "Anchor it",
            f"Drill for {brief.floor.anchor} anchors through the pads, blow the holes clean, set and tighten as their maker "
            "says; find cables and pipes in the floor first.", caution=cautions.DRILLING,
        )  # fmt: skip


def _level(brief: Brief, frame: Frame, facts: Facts) -> Iterator[Step]:
    if not frame.mounts:
        return
    machine = next((x for x in facts.lifts if x.name == "machine"), None)
    bolted = any(m.hole for m in frame.mounts)
    if machine is not None:
        yield _step(
            "set up", "Set the machine on",
            f"The machine is {_kg(brief, machine.mass)}: {machine.text}. Lower it centred on its places.",
            caution=f"{cautions.SLING if bolted else cautions.REST} {cautions.LIFT}",
        )  # fmt: skip
    if bolted:
        seating = {
            "bolted down": "",
            "jacking screws": " Bring all jacking screws up to the feet evenly first.",
            "hollow jacking screws": " Bring all jacking screws up to the feet evenly first.",
            "shims": " Fill every gap under a foot with shims first: no foot is drawn down.",
        }[brief.mounting.seating]
        most = f"{facts.torque:.0f} N m at most; half is plenty on screws or shims" if facts.torque else ""
        yield _step(
            "level", "Bolt it down",
            f"Draw the {find_thread(brief.machine.bolt).id} bolts up crosswise in three rounds.{seating}",
            measure="Torque", tolerance=most, caution=cautions.PLUG,
        )  # fmt: skip
    if brief.machine.kind in ("lathe", "mill", "surface plate"):
        yield _step(
            "level", "Level it and take the twist out",
            "All feet bearing, then level enough, then the twist, by the levelling record; read again after each move.",
            measure="Level across the bed at both ends", tolerance=f"readings alike within {facts.twist:g} mm/m",
        )  # fmt: skip
    yield _step(
        "level", "Look again after a week",
        "Feet, bolts and level once more: paint and floor settle. Write it into the record.", caution=cautions.MANUAL,
    )  # fmt: skip



"""The build, step by step from saw to level: what is done, what is measured, within what, and the caution of the place."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from framecore.brief.model import Brief
from framecore.catalogue import thread as find_thread
from framecore.frame.model import Frame, PlateRole
from framecore.shop import cautions
from framecore.shop._say import about, marks, mass, names, quantity, size, within
from framecore.shop.buying import merchant_words
from framecore.shop.model import Shop
from framecore.shop.work import Assembly, Check, FinishPlan, Lift, Step, Weld

SAWN = 0.5  # mm either way that a stop on a saw holds (common practice)
SAWN_SQUARE = 0.5  # mm over a section's width (common practice)
DRESSED = 0.3  # mm that may stand over a dressed weld (common practice)
SHEETS = (PlateRole.TOP, PlateRole.SHELF, PlateRole.PANEL, PlateRole.TRAY, PlateRole.BACK, PlateRole.BACKSTOP)
_SMALL = {PlateRole.PAD: "pads", PlateRole.BLOCK: "blocks", PlateRole.GUSSET: "gussets", PlateRole.BRACKET: "brackets"}
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
EARLY = ("measure and drill", "punch through the template")
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


@dataclass(frozen=True, slots=True, kw_only=True)
class Facts:
    """What the steps are told from besides brief, frame and shop."""

    assemblies: Sequence[Assembly]
    welds: Sequence[Weld]
    finish: FinishPlan
    lifts: Sequence[Lift]
    torque: float  # N m, of the holding-down bolts; 0 where none
    turn_out: Sequence[tuple[str, float]]  # foot, mm out from mid travel
    twist: float  # most bed twist, mm/m
    sleeves: str = ""  # crush sleeves: "" none, "fixed", "loose"


def build_steps(brief: Brief, frame: Frame, shop: Shop, facts: Facts) -> tuple[Step, ...]:
    """Return the steps in order, numbered from 1."""
    told = (
        *_saw(brief, frame, shop, facts), *_prepare(brief, frame, facts), *_weld(brief, facts), *_after(brief, frame, facts),
        *_paint(brief, facts), *_set_up(brief, frame, facts), *_level(brief, frame, facts),
    )  # fmt: skip
    return tuple(replace(s, number=k) for k, s in enumerate(told, 1))


def _step(stage: str, title: str, text: str, **more: str) -> Step:
    return Step(number=0, stage=stage, title=title, text=text, **more)  # type: ignore[arg-type]


def _saw(brief: Brief, frame: Frame, shop: Shop, facts: Facts) -> Iterator[Step]:
    u = brief.units
    legs = " Mark the straightest for the legs." if any(m.name.startswith("leg") for m in frame.members) else ""
    at_merchant = merchant_words(brief, shop, lambda v: size(brief.units, v))
    if at_merchant:
        yield _step("saw", "Have the long bars cut at the merchant", at_merchant)
    yield _step(
        "saw", "Check the steel as it comes",
        f"Measure the section, wall and squareness of every bar; set aside what is bent.{legs}",
        measure="Straightness against a string",
        tolerance=f"within {about(u, '3 mm in any metre', '1/8 in in any 3 ft')}",
    )  # fmt: skip
    longer = ""
    if any(p.longer > 0 for p in shop.pieces):
        longer = " Welds shrink: the lengths to saw hold what they take off."
    alike = "; set a stop for pieces that are alike" if any(len(p.members) > 1 for p in shop.pieces) else ""
    yield _step(
        "saw", "Saw the pieces",
        f"By the cut plan, bar by bar, longest piece first{alike} and mark each as it falls.{longer}",
        measure="Length of every piece; a square on both ends",
        tolerance=f"{within(u, SAWN)} either way; {within(u, SAWN_SQUARE)} over the section", caution=cautions.SAWING,
    )  # fmt: skip
    roles = {p.role for p in frame.plates if p.steel}
    if not roles:
        return
    kinds = [word for role, word in _SMALL.items() if role in roles]
    kinds += ["sheets"] if roles & set(SHEETS) else []
    kinds += ["plates"] if roles - set(SHEETS) - set(_SMALL) else []
    text = f"Cut the {names(kinds)} by their drawings and break the edges."
    tapped = any(h.tapped for h in frame.holes)
    drilled = {h.owner for h in frame.holes} & {p.name for p in frame.plates}
    if drilled:
        text += " Drill them" + ("; countersink every hole that is tapped." if tapped else ".")
    text += _notches(facts.welds)
    yield _step(
        "saw", "Cut and drill the plates" if drilled else "Cut the plates", text,
        measure="Hole places on one plate of each kind" if drilled else "",
        tolerance=f"{within(u, 0.5)} either way" if drilled else "",
        caution=cautions.DRILLING if drilled else cautions.GRINDING,
    )  # fmt: skip


def _notches(welds: Sequence[Weld]) -> str:
    """What sheets are notched for, welds that stand in their way."""
    asked = [w for w in welds if w.why.startswith("notch")]
    out = ""
    for why in dict.fromkeys(w.why for w in asked):
        what = why.removesuffix(" of it").removeprefix("notch ")
        out += f" Deeper than drawn: notch {what} of {_welds(w.mark for w in asked if w.why == why)}."
    return out


def _welds(words: Iterable[str]) -> str:
    text = marks(words)
    return f"the welds {text}" if " " in text else f"weld {text}"


def _prepare(brief: Brief, frame: Frame, facts: Facts) -> Iterator[Step]:
    u = brief.units
    ground = any(m.chamfer for m in frame.members) or any(
        f.kind == "angle root" and f.chamfer > 0 for j in frame.joints for f in j.fit_ups
    )
    yield _step(
        "fit", "Clean the ends bright",
        f"Take rust, scale and oil off to {about(u, '25 mm', '1 in')} from every weld, inside the ends too"
        + ("; grind the chamfers where the sheet of pieces asks for them" if ground else "")
        + ". Wipe with a cleaner without chlorine and let it dry.",
        caution=f"{cautions.SOLVENT} {cautions.GRINDING}",
    )  # fmt: skip
    if any(m.profile.closed for m in frame.members):
        yield _step(
            "fit", "Vent the closed pieces",
            f"Drill a {about(u, '3 mm', '1/8 in')} hole into every hollow piece that welding closes at both ends, where it "
            "does not show: into the face that the neighbour covers, or low at the back.",
            caution=cautions.CLOSED,
        )  # fmt: skip
    if any(m.hole for m in frame.mounts) and brief.mounting.method in EARLY:
        sleeve = {"fixed": " Set the crush sleeves while the ends are open.", "loose": " Put the crush sleeves in, left loose."}
        yield _step(
            "drill", "The machine's holes", METHODS[brief.mounting.method] + sleeve.get(facts.sleeves, ""),
            measure="Distance between every pair of holes", tolerance=f"{within(u, brief.mounting.marking)} either way",
            caution=cautions.DRILLING,
        )  # fmt: skip


def _weld(brief: Brief, facts: Facts) -> Iterator[Step]:
    first = True
    for a in facts.assemblies:
        own = [w for w in facts.welds if w.assembly == a.name and not w.pitch]
        if not own and not a.checks:
            continue
        measure, tolerance = _measures(brief, a.checks)
        order = " Weld in the order of the weld map"
        order += f" ({marks(w.mark for w in own)})" + (", opposite corners in turn, short runs." if len(own) > 2 else ".")
        order += _ground(own)
        yield Step(
            number=0, stage="weld", title=a.name[:1].upper() + a.name[1:], text=a.text + (order if own else ""),
            measure=measure, tolerance=tolerance, caution=f"{cautions.FUME} {cautions.ZINC}" if first else "", assembly=a.name,
            pieces=(*a.members, *a.plates),
        )  # fmt: skip
        first = False


def _ground(own: Sequence[Weld]) -> str:
    """What is dressed before the next assembly goes on."""
    under = [w for w in own if w.under]
    return f" Grind {_welds(w.mark for w in under)} flush: {names(w.why for w in under)} later." if under else ""


def _measures(brief: Brief, checks: Sequence[Check]) -> tuple[str, str]:
    """The measures of an assembly in one line, and what they may be off."""
    u = brief.units
    parts, off = [], []
    for pair in dict.fromkeys(c.pair for c in checks if c.kind == "diagonal"):
        own = [c for c in checks if c.pair == pair and c.kind == "diagonal"]
        if pair:
            parts.append(f"{pair} {size(u, own[0].value)}")
            off.append(f"{pair} alike within {within(u, own[0].tolerance)}")
        else:
            parts.append(f"diagonals {' and '.join(size(u, c.value) for c in own)}")
            off.append(f"diagonals {within(u, own[0].tolerance)} either way")
    for kind, word in (("over all", "over all"), ("centres", "between feet")):
        own = [c for c in checks if c.kind == kind]
        for value in dict.fromkeys(round(c.value, 1) for c in own):
            alike = [c for c in own if round(c.value, 1) == value]
            parts.append(f"{names(c.text.removeprefix(f'{kind}, ') for c in alike)} {size(u, alike[0].value)}")
        if own:
            off.append(f"{word} {within(u, max(c.tolerance for c in own))} either way")
    heights = [c for c in checks if c.kind == "corner height"]
    if heights:
        parts.append(f"corner heights {size(u, heights[0].value)}")
        off.append(f"heights alike within {within(u, heights[0].tolerance)}")
    return "; ".join(parts), "; ".join(off)


def _after(brief: Brief, frame: Frame, facts: Facts) -> Iterator[Step]:
    u = brief.units
    flush = [w for w in facts.welds if w.flush and not w.under]
    if flush:
        yield _step(
            "fit", "Dress what must be flat",
            f"Grind {_welds(w.mark for w in flush)} flush with the face: {names(w.why for w in flush)}. Leave all others as "
            "they are.",
            measure="A straightedge over the dressed welds", tolerance=f"nothing over {within(u, DRESSED)}",
            caution=cautions.GRINDING,
        )  # fmt: skip
    sheets = {(p.sheet or p.name): p for p in frame.plates if p.role in SHEETS}
    stitched = [w for w in facts.welds if w.pitch]
    held = [n for n in sheets if any(w.joint == n for w in stitched)]
    if stitched:
        what = names([*held, *sorted(w.joint for w in stitched)])
        yield _step(
            "weld", f"Stitch on the {what}",
            f"Clamp it flat, then short stitches only, as the weld map has them ({marks(w.mark for w in stitched)}), from end "
            "to end in turn, and let it cool between: a long bead would buckle it.",
            caution=cautions.FUME,
        )  # fmt: skip
    if brief.mounting.method not in EARLY and any(m.hole for m in frame.mounts):
        yield _step(
            "drill", "The machine as its own jig", METHODS[brief.mounting.method],
            measure="Every bolt drops in by hand", caution=f"{cautions.SLING} {cautions.DRILLING}",
        )  # fmt: skip
    tapped = [h for h in frame.holes if h.tapped]
    if tapped:
        yield _step(
            "drill", "Run the taps through",
            f"Welding draws tapped holes out of round: run the tap of {names(h.tapped for h in tapped)} through every one.",
            measure="Each stud and screw turns in by hand",
        )  # fmt: skip
    loose = [n for n in sheets if n not in held]
    if loose:
        roles = [sheets[n].role for n in loose]
        words = [f"{sheets[n].role}s" if roles.count(sheets[n].role) > 1 else n for n in loose]
        board = (
            "" if all(sheets[n].steel for n in loose)
            else "Drill the board and the rails under it for the coach bolts of the order list, the steel a little wider. "
        )
        yield _step(
            "fit", f"Fit the {names(words)}", f"{board}Try what is screwed or laid on; take off again what is painted apart.",
        )  # fmt: skip


def _paint(brief: Brief, facts: Facts) -> Iterator[Step]:
    plan = facts.finish
    if brief.finish.paint == "none" or not plan.coats:
        return
    masked = names(name for name, _ in plan.masked)
    coats = "; ".join(f"{c.name} {quantity(brief.units, c.litres, 'l')}" for c in plan.coats)
    plug = " Plug the tapped holes." if "tapped" in masked else ""
    yield _step(
        "finish", "Clean, mask and paint",
        f"Wash off all grease, key the surface{f', mask {masked}' if masked else ''}. {coats}.{plug}",
        measure="Each coat dry as the tin says before the next", caution=f"{cautions.PAINT} {cautions.SOLVENT}",
    )  # fmt: skip


def _lifted(brief: Brief, what: str, lift: Lift) -> str:
    own = mass(brief.units, lift.mass)
    return f"The {what}: {lift.text}." if lift.text.startswith(own) else f"The {what} is {own}: {lift.text}."


def _roll(brief: Brief) -> str:
    """How it is moved: on casters whose stems carry it, or tilted on to two wheels."""
    bare = "without the machine if it can be"
    if "tilt" in brief.casters.kind:
        return f"Put the wheels on, lift the other end until it runs on them and push it, {bare}; let it down on its feet."
    return (
        f"Put the casters on, screw their stems down evenly until the feet are off the floor, lock them and roll it, {bare}; "
        "then screw the stems up until the wheels hang free."
    )


def _set_up(brief: Brief, frame: Frame, facts: Facts) -> Iterator[Step]:
    u = brief.units
    whole = next((x for x in facts.lifts if x.name == "stand"), None)
    if frame.casters:
        yield _step(
            "set up", "Roll it to its place", _roll(brief), caution=cautions.LIFT,
        )  # fmt: skip
    elif whole is not None:
        yield _step("set up", "Bring it to its place", _lifted(brief, "stand", whole), caution=cautions.LIFT)
    if frame.feet:
        yield _step(
            "set up", "Feet on the floor",
            f"Set all feet to mid travel{_turned(u, facts.turn_out)}. Then turn each until it bears and none can be turned "
            "by hand; lock the nuts.",
            measure="Level both ways on the seat", tolerance=f"{about(u, '1 mm in a metre', '1/64 in to the foot')} does here",
        )  # fmt: skip
    if brief.floor.anchor != "none" and frame.feet:
        wood = brief.floor.kind == "wood"
        yield _step(
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


def _level(brief: Brief, frame: Frame, facts: Facts) -> Iterator[Step]:
    if not frame.mounts:
        return
    machine = next((x for x in facts.lifts if x.name == "machine"), None)
    bolted = any(m.hole for m in frame.mounts)
    if machine is not None:
        yield _step(
            "set up", "Set the machine on", f"{_lifted(brief, 'machine', machine)} Lower it centred on its places.",
            caution=f"{cautions.SLING if bolted else cautions.REST} {cautions.LIFT}",
        )  # fmt: skip
    if bolted:
        seating = brief.mounting.seating
        most = f"{quantity(brief.units, facts.torque, 'N m')} at most" if facts.torque else ""
        half = "; half is plenty on screws or shims" if most and seating != "bolted down" else ""
        yield _step(
            "level", "Bolt it down",
            f"Draw the {find_thread(brief.machine.bolt).id} bolts up crosswise in two rounds.{SEATING[seating]}",
            measure="Torque" if most else "", tolerance=most + half, caution=cautions.PLUG,
        )  # fmt: skip
    if brief.machine.kind in READ:
        title, measure = READ[brief.machine.kind]
        twist = ", then the twist" if "twist" in title else ""
        yield _step(
            "level", title,
            f"All feet bearing, then level enough{twist}, by the levelling record; read again after each move.",
            measure=measure, tolerance=f"readings alike within {quantity(brief.units, facts.twist, 'mm/m')}",
        )  # fmt: skip
    yield _step(
        "level", "Look again after a week",
        f"{'Feet, bolts and level' if bolted else 'Feet and level'} once more: paint and floor settle. Write it into the "
        "record.",
        caution=cautions.MANUAL,
    )  # fmt: skip

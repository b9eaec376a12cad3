"""The build, step by step from saw to level: what is done, what is measured, within what, and the caution of the place."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace

from framecore.brief.model import Brief
from framecore.catalogue import thread as find_thread
from framecore.frame.model import Frame, Plate, PlateRole
from framecore.shop import cautions
from framecore.shop._fixings import RIVET_NUT, TAPPED, VICE_BOLT, VICE_PLATE
from framecore.shop._say import about, marks, names, quantity, size, within
from framecore.shop._set_up import level, set_up
from framecore.shop._step import Facts, step
from framecore.shop.buying import merchant_words
from framecore.shop.model import Shop
from framecore.shop.open_ends import CAP, End, tube_ends
from framecore.shop.work import Assembly, Check, Step, Weld

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
# The same where the holes are in pieces that are drilled before they are welded together.
LOOSE = {
    "measure and drill": (
        "Mark the machine's holes on their pieces by the sheet of pieces, punch, check the distances on each piece, drill "
        "small and then to size."
    ),
    "punch through the template": (
        "Tape the template's tiles together by their crosses, check the printed rulers with a steel rule, lay it on the "
        "pieces set out as they come together, punch every hole through the paper, drill small and then to size."
    ),
}
EARLY = ("measure and drill", "punch through the template")


def build_steps(brief: Brief, frame: Frame, shop: Shop, facts: Facts) -> tuple[Step, ...]:
    """Return the steps in order, numbered from 1."""
    told = (
        *_saw(brief, frame, shop, facts), *_prepare(brief, frame, facts), *_weld(brief, frame, facts),
        *_after(brief, frame, shop, facts), *_paint(brief, frame, shop, facts), *set_up(brief, frame, facts),
        *level(brief, frame, facts),
    )  # fmt: skip
    return tuple(replace(s, number=k) for k, s in enumerate(told, 1))


def _saw(brief: Brief, frame: Frame, shop: Shop, facts: Facts) -> Iterator[Step]:
    u = brief.units
    legs = " Mark the straightest for the legs." if any(m.name.startswith("leg") for m in frame.members) else ""
    at_merchant = merchant_words(brief, shop, lambda v: size(brief.units, v))
    if at_merchant:
        yield step("saw", "Have the long bars cut at the merchant", at_merchant)
    yield step(
        "saw", "Check the steel as it comes",
        f"Measure the section, wall and squareness of every bar; set aside what is bent.{legs}",
        measure="Straightness against a string",
        tolerance=f"within {about(u, '3 mm in any metre', '1/8 in in any 3 ft')}",
    )  # fmt: skip
    longer = ""
    if any(p.longer > 0 for p in shop.pieces):
        longer = " Welds shrink: the lengths to saw hold what they take off."
    alike = "; set a stop for pieces that are alike" if any(len(p.members) > 1 for p in shop.pieces) else ""
    square = all(end == "square" for p in shop.pieces for end in p.ends)
    yield step(
        "saw", "Saw the pieces",
        f"By the cut plan, bar by bar, longest piece first{alike} and mark each as it falls.{longer}",
        measure=(
            "Length of every piece; a square on both ends" if square
            else "Length of every piece; a square, or the bevel set to its angle, on both ends"
        ),
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
        text += " Drill them" + ("; countersink and tap threaded holes." if tapped else ".")
    head = in_plates(frame)
    early = brief.mounting.method in EARLY
    if head:
        text += f" The machine's holes in them: {_lower(METHODS[brief.mounting.method])}"
    text += _notches(facts.welds)
    measure, off = "Hole places on one plate of each kind", f"{within(u, 0.5)} either way"
    if head and early:
        measure += "; distance between every pair of the machine's holes"
        off += f"; machine's holes {within(u, brief.mounting.marking)}"
    yield step(
        "saw", "Cut and drill the plates" if drilled else "Cut the plates", text,
        measure=measure if drilled else "", tolerance=off if drilled else "",
        caution=cautions.DRILLING if drilled else cautions.GRINDING,
    )  # fmt: skip


def in_plates(frame: Frame) -> bool:
    """Return whether all of the machine's holes are in loose plates, which are drilled before anything is welded."""
    members = {m.name for m in frame.members}
    held = [m.member for m in frame.mounts if m.hole]
    return bool(held) and not members & set(held)


def _lower(text: str) -> str:
    return text[:1].lower() + text[1:]


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
    yield step(
        "fit", "Clean the ends bright",
        f"Take rust, scale and oil off to {about(u, '25 mm', '1 in')} from every weld, inside the ends too"
        + ("; grind the chamfers where the sheet of pieces asks for them" if ground else "")
        + ". Wipe with a cleaner without chlorine and let it dry.",
        caution=f"{cautions.SOLVENT} {cautions.GRINDING}",
    )  # fmt: skip
    if any(ends == (End.WELDED, End.WELDED) for ends in tube_ends(frame).values()):
        yield step(
            "fit", "Vent the closed pieces",
            f"Drill a {about(u, '3 mm', '1/8 in')} hole into every hollow piece that welding closes at both ends, where it "
            "does not show: into the face that the neighbour covers, or low at the back.",
            caution=cautions.CLOSED,
        )  # fmt: skip
    if any(m.hole for m in frame.mounts) and brief.mounting.method in EARLY and not in_plates(frame):
        sleeve = {
            "fixed": " Set the crush sleeves while the ends are open; a pin of the bolt's size stays in each until the "
            "machine's own bolt pushes it out: one that falls over cannot be set up again.",
            "loose": " Put the crush sleeves in, left loose.",
        }
        yield step(
            "drill", "The machine's holes", LOOSE[brief.mounting.method] + sleeve.get(facts.sleeves, ""),
            measure="Distances of the holes on every piece", tolerance=f"{within(u, brief.mounting.marking)} either way",
            caution=cautions.DRILLING,
        )  # fmt: skip


def _weld(brief: Brief, frame: Frame, facts: Facts) -> Iterator[Step]:
    held = {m.member for m in frame.mounts if m.hole} if brief.mounting.method in EARLY and not in_plates(frame) else set()
    hurts = f"{cautions.fume(brief.units)} {cautions.zinc(brief.units)}"  # said once, at the first assembly that is welded
    for a in facts.assemblies:
        own = [w for w in facts.welds if w.assembly == a.name and not w.pitch]
        if not own and not a.checks:
            continue
        measure, tolerance = _measures(brief, a.checks)
        if held and held <= {*a.members, *_taken(a, facts.assemblies)}:
            # Drilled apart, together only now: their pattern is what the bolts need.
            measure = "; ".join(t for t in (measure, "when tacked, the machine's holes by the hole sheet") if t)
            tolerance = "; ".join(t for t in (tolerance, f"holes within {within(brief.units, brief.mounting.marking)}") if t)
            held = set()
        order = " Weld in the order of the weld map"
        order += f" ({marks(w.mark for w in own)})" + (", opposite corners in turn, short runs." if len(own) > 2 else ".")
        order += _ground(brief, own, last=a is facts.assemblies[-1])
        yield Step(
            number=0, stage="weld", title=a.name[:1].upper() + a.name[1:], text=a.text + (order if own else ""),
            measure=measure, tolerance=tolerance, caution=hurts, assembly=a.name,
            pieces=(*a.members, *a.plates),
        )  # fmt: skip
        hurts = ""


def _taken(assembly: Assembly, every: Sequence[Assembly]) -> set[str]:
    """Return the members of what an assembly is put together from."""
    inner = [a for a in every if a.name in assembly.takes]
    return {n for a in inner for n in (*a.members, *_taken(a, every))}


def _ground(brief: Brief, own: Sequence[Weld], *, last: bool) -> str:
    """What is dressed before the next assembly goes on: what that covers, and what a grinder no longer reaches then."""
    under = [w for w in own if w.under]
    whys = dict.fromkeys(w.why for w in under)
    told = (why.removesuffix("it") + marks(w.mark for w in under if w.why == why) for why in whys)
    out = f" Grind flush what is covered next: {names(told)}." if under else ""
    reach = [w for w in own if w.flush and not w.under]
    if reach and not last:
        out += (
            f" Grind {_welds(w.mark for w in reach)} flush before the next part goes on, nothing over "
            f"{within(brief.units, DRESSED)}: {names(w.why for w in reach)}."
        )
    return out


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
        allowed = [within(u, c.tolerance) for c in own]
        for far in dict.fromkeys(allowed):
            sides = names(c.text.removeprefix(f"{kind}, ") for c, has in zip(own, allowed, strict=True) if has == far)
            off.append(f"{sides if len(set(allowed)) > 1 else word} {far} either way")
    for c in checks:
        if c.kind == "square":
            parts.append(c.text)
            off.append(f"column within {within(u, c.tolerance)} of square")
    heights = [c for c in checks if c.kind == "corner height"]
    if heights:
        parts.append(f"corner heights {size(u, heights[0].value)}")
        off.append(f"heights alike within {within(u, heights[0].tolerance)}")
    return "; ".join(parts), "; ".join(off)


def _after(brief: Brief, frame: Frame, shop: Shop, facts: Facts) -> Iterator[Step]:
    u = brief.units
    last = facts.assemblies[-1].name if facts.assemblies else ""
    flush = [w for w in facts.welds if w.flush and not w.under and w.assembly == last]
    if flush:
        yield step(
            "fit", "Dress what must be flat",
            f"Grind {_welds(w.mark for w in flush)} flush with the face: {names(w.why for w in flush)}. Leave all others as "
            "they are.",
            measure="A straightedge over the dressed welds", tolerance=f"nothing over {within(u, DRESSED)}",
            caution=cautions.GRINDING,
        )  # fmt: skip
    sheets = _sheets(frame)
    stitched = [w for w in facts.welds if w.pitch]
    held = [n for n in sheets if any(w.joint == n for w in stitched)]
    if stitched:
        what = names([*held, *sorted(w.joint for w in stitched)])
        yield step(
            "weld", f"Stitch on the {what}",
            f"Clamp it flat, then short stitches only, as the weld map has them ({marks(w.mark for w in stitched)}), from end "
            "to end in turn, and let it cool between: a long bead would buckle it.",
            caution=cautions.fume(u),
        )  # fmt: skip
    resting = {m.name for m in frame.mounts if not m.hole}
    if any(p.role is PlateRole.BLOCK and resting & set(p.on) for p in frame.plates):
        yield step(
            "fit", "Face the blocks",
            "What rests on them is not screwed: spot the blocks on a flat plate and file what is high until all their faces "
            "lie in one plane.",
            measure="A straightedge from each block to the next lies flat on both", caution=cautions.GRINDING,
        )  # fmt: skip
    if brief.mounting.method not in EARLY and any(m.hole for m in frame.mounts):
        yield step(
            "drill", "The machine as its own jig", METHODS[brief.mounting.method],
            measure="Every bolt drops in by hand", caution=f"{cautions.SLING} {cautions.DRILLING}",
        )  # fmt: skip
    tapped = [h for h in frame.holes if h.tapped]
    if tapped:
        yield step(
            "drill", "Run the taps through",
            f"Welding draws tapped holes out of round: run the tap of {names(h.tapped for h in tapped)} through every one.",
            measure="Each stud and screw turns in by hand",
        )  # fmt: skip
    loose = _loose(frame, facts)
    if loose:
        board = (
            "" if all(sheets[n].steel for n in loose)
            else "Drill the board and the rails under it for the coach bolts of the order list, the steel a little wider. "
        )
        drilled = board + _screwed(frame, shop, loose)
        yield step(
            "fit", f"Fit the {_called(sheets, loose)}",
            f"{drilled}Try what is screwed or laid on; take off again what is painted apart.",
            caution=cautions.DRILLING if drilled else "",
        )  # fmt: skip
    if any(p.name == VICE_PLATE for p in frame.plates):
        what = "board and plate" if any(p.name == "top" for p in frame.plates) else "the plate"
        yield step(
            "drill", "The vice as its own jig",
            "Set the vice over its plate so that its fixed jaw stands just past the front edge, mark through its own holes, "
            f"take it off and drill {what} {size(u, find_thread(VICE_BOLT).medium)} for the bolts of the order list.",
            measure="Every bolt drops in by hand", caution=cautions.DRILLING,
        )  # fmt: skip


def _sheets(frame: Frame) -> dict[str, Plate]:
    """Sheets and boards by name; one of what is folded from a blank."""
    return {(p.sheet or p.name): p for p in frame.plates if p.role in SHEETS}


def _loose(frame: Frame, facts: Facts) -> list[str]:
    """What is screwed or laid on, not welded: it comes off for the paint."""
    stitched = {w.joint for w in facts.welds if w.pitch}
    return [n for n in _sheets(frame) if n not in stitched]


def _called(sheets: Mapping[str, Plate], loose: Sequence[str]) -> str:
    roles = [sheets[n].role for n in loose]
    return names(f"{sheets[n].role}s" if roles.count(sheets[n].role) > 1 else n for n in loose)


def _screwed(frame: Frame, shop: Shop, loose: Sequence[str]) -> str:
    """How what is screwed on the frame gets its holes: panels by the thickness they go into, a backstop on its board."""
    bought = {b.what for b in shop.bought}
    out = ""
    if RIVET_NUT in bought:
        out += "Drill sheet and frame together for the panel screws, open the frame's holes up and set the rivet nuts. "
    if TAPPED in bought:
        out += "Drill sheet and frame together for the panel screws, tap the frame, open the sheet's holes up. "
    if "wood screw" in bought and any(p.role is PlateRole.BACKSTOP and p.name in loose for p in frame.plates):
        out += "Drill the backstop and screw it to the board's edge, lead holes first. "
    if "bearer bolt" in bought:
        out += "Drill bearers, tray and rails together and bolt them, sealed in the tray. "
    return out


def _paint(brief: Brief, frame: Frame, shop: Shop, facts: Facts) -> Iterator[Step]:
    coats = tuple(_coats(brief, facts))
    yield from coats
    if any(b.what == CAP for b in shop.bought):
        yield step(
            "finish", "Cap the open ends",
            "Drive the caps of the order list into the tubes' open ends; a drop of oil inside keeps rust away.",
        )  # fmt: skip
    sheets, loose = _sheets(frame), _loose(frame, facts)
    if coats and loose:
        tray = any(sheets[n].role is PlateRole.TRAY for n in loose)
        yield step(
            "finish", f"Put the {_called(sheets, loose)} back",
            "Once the paint is hard: what is screwed with all its screws, what is laid on in its place."
            + (" Seal every hole of the tray." if tray else ""),
        )  # fmt: skip


def _coats(brief: Brief, facts: Facts) -> Iterator[Step]:
    plan = facts.finish
    if brief.finish.paint == "none" or not plan.coats:
        return
    masked = names(name for name, _ in plan.masked)
    coats = "; ".join(f"{c.name} {quantity(brief.units, c.litres, 'l')}" for c in plan.coats)
    plug = " Plug the tapped holes." if "tapped" in masked else ""
    yield step(
        "finish", "Clean, mask and paint",
        f"Wash off all grease, key the surface{f', mask {masked}' if masked else ''}. {coats}.{plug}",
        measure="Each coat dry as the tin says before the next", caution=f"{cautions.PAINT} {cautions.SOLVENT}",
    )  # fmt: skip

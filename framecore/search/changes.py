"""Single changes of a brief, as a maker would make them: each is one sentence and a few keys."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from framecore.brief.fields import BY_PATH
from framecore.brief.kinds import Choice
from framecore.brief.model import SIDE_BRACES, Brief
from framecore.catalogue import profile as find_profile
from framecore.catalogue import sheet, sheets
from framecore.frame.model import Frame, Role
from framecore.search.space import ROLE_KEYS, SECTIONS, profiles_like, step_of, value_of, with_value
from framecore.search.words import shown
from framecore.units import round_step

UP, DOWN = 2, 1  # profiles tried either way of the present one
NEARER = {"frame.length": 100.0, "frame.depth": 50.0}  # mm the legs come together
_PLACES = {
    "front": "Front brace", "back": "Back brace", "left": "Left brace", "right": "Right brace",
    "ends": "Braces of both ends", "long": "Braces of front and back",
}  # fmt: skip
_FRONT = ("none", "gussets")  # a brace across the front is in the way of knees and of what lies on the shelf
# Lengths that are tried one step either way where they matter.
_LENGTHS = ("frame.lower_ring", "frame.pedestal", "frame.base_thickness", "feet.height")
_CHOICES = ("frame.shelf", "frame.joined_by", "frame.base", "frame.legs", "frame.pedestals", "floor.anchor")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Change:
    """One change.

    ``words`` what it is, to begin a sentence; ``values`` dotted keys of the brief with what is written there: text, a
    number (mm), a whole number or a list of numbers; ``brief`` with them in it.
    """

    words: str
    values: tuple[tuple[str, Any], ...]
    brief: Brief


def single_changes(brief: Brief, frame: Frame) -> tuple[Change, ...]:
    """Return every change within reach, each once; whether it can be built is not looked at."""
    found: dict[tuple[tuple[str, Any], ...], Change] = {}
    for words, values in _all(brief, frame):
        if any(value_of(brief, key) != value for key, value in values.items()):
            new = brief
            for key, value in values.items():
                new = with_value(new, key, value)
            typed = tuple((k, list(v) if isinstance(v, tuple) else v) for k, v in values.items())
            name = tuple(values.items())
            found.setdefault(name, Change(words=words, values=typed, brief=new))
    return tuple(found.values())


def _all(brief: Brief, frame: Frame) -> Iterator[tuple[str, dict[str, Any]]]:
    yield from _profiles(brief, frame)
    yield from _braces(brief, frame)
    for key in (k for k in _LENGTHS if matters(brief, frame, k)):
        now, step = value_of(brief, key), step_of(brief, key)
        for value in (now - step, now + step):
            if value > 0 and BY_PATH[key].kind.low <= value <= BY_PATH[key].kind.high:
                yield f"{BY_PATH[key].label}: {shown(brief, key, value)} instead of {shown(brief, key, now)}", {key: value}
    what = "Legs closer" if any(m.role is Role.LEG for m in frame.members) else "Base shorter"
    for key, step in NEARER.items():
        nearer = value_of(brief, key) - round_step(step, brief.units)
        if nearer >= BY_PATH[key].kind.low:
            size = shown(brief, key, nearer)
            yield (f"{what} in length, {size}" if key == "frame.length" else f"{what} in depth, {size}"), {key: nearer}
    yield from _bearers(brief, frame)
    if frame.layout in ("four-post", "workbench") and brief.frame.middle_legs < BY_PATH["frame.middle_legs"].kind.high:
        key, now = "frame.middle_legs", brief.frame.middle_legs
        yield f"{BY_PATH[key].label}: {now + 1} instead of {now}", {key: now + 1}
    for key in _CHOICES:
        now, kind = value_of(brief, key), BY_PATH[key].kind
        for value in kind.options if isinstance(kind, Choice) and matters(brief, frame, key) else ():
            yield f"{BY_PATH[key].label}: {value} instead of {now}", {key: value}
    yield from _plates(brief)


def _profiles(brief: Brief, frame: Frame) -> Iterator[tuple[str, dict[str, Any]]]:
    """Next profiles up and down, role by role, and for all roles together that are made of the same one."""
    roles = {m.role for m in frame.members}
    by_profile: dict[str, list[str]] = {}
    for role, name in ROLE_KEYS.items():
        if role in roles:
            by_profile.setdefault(value_of(brief, SECTIONS + name), []).append(SECTIONS + name)
    for now, keys in by_profile.items():
        like = profiles_like(brief, now)
        at = like.index(now)
        near = [*like[at + 1 : at + 1 + UP], *like[max(0, at - DOWN) : at]]
        for new in near:
            for own in ([k] for k in keys):
                yield f"{BY_PATH[own[0]].label}: {new} instead of {find_profile(now).id}", {own[0]: new}
            if len(keys) > 1:
                labels = [BY_PATH[k].label.lower() for k in keys]
                said = f"{', '.join(labels[:-1])} and {labels[-1]}"
                yield f"{said[:1].upper()}{said[1:]}: {new} instead of {find_profile(now).id}", dict.fromkeys(keys, new)


def _braces(brief: Brief, frame: Frame) -> Iterator[tuple[str, dict[str, Any]]]:
    here = {bay.side for bay in frame.bays}
    for side in ("back", "left", "right", "front"):
        if side not in here:
            continue
        key = f"braces.{side}"
        for kind in SIDE_BRACES if side != "front" else (*_FRONT, brief.braces.front):
            yield f"{_PLACES[side]}: {kind} instead of {value_of(brief, key)}", {key: kind}
    for pair, sides, kinds in (("ends", ("left", "right"), SIDE_BRACES), ("long", ("front", "back"), _FRONT)):
        if here.issuperset(sides):
            for kind in kinds:
                values = {f"braces.{s}": kind for s in sides}
                changed = [k for k in values if value_of(brief, k) != kind]
                if len(changed) == len(values):  # else it is the change of one side
                    now = " or ".join(dict.fromkeys(value_of(brief, k) for k in values))
                    yield f"{_PLACES[pair]}: {kind} instead of {now}", values


def matters(brief: Brief, frame: Frame, key: str) -> bool:
    """Whether a key says anything about this stand."""
    f = brief.frame
    roles = {m.role for m in frame.members}
    rules = {
        "frame.lower_ring": f.lower_ring > 0 and Role.LOWER_RAIL in roles,
        "frame.pedestal": f.layout == "pedestal pair",
        "frame.base_thickness": f.layout == "column",
        "frame.base": f.layout == "column",
        "frame.shelf": Role.LOWER_RAIL in roles,
        "frame.joined_by": f.layout in ("trestle", "pedestal pair"),
        "frame.pedestals": f.layout == "pedestal pair",
        "frame.legs": f.layout == "four-post",
        "frame.corners": f.layout in ("four-post", "workbench"),
        "frame.middle_legs": f.layout in ("four-post", "workbench"),
        "frame.splay": f.layout in ("trestle", "tripod"),
        "frame.shelf_thickness": f.shelf == "sheet",
        "floor.anchor": brief.floor.kind == "concrete",
    }
    return rules.get(key, True)


def _bearers(brief: Brief, frame: Frame) -> Iterator[tuple[str, dict[str, Any]]]:
    """One more: where the machine's holes place them, all are fixed where they are and one stands in the widest gap."""
    own = [m for m in frame.members if m.role is Role.BEARER]
    if not (brief.machine.holes or brief.frame.bearers_at):
        now = brief.frame.bearers
        if own and now < BY_PATH["frame.bearers"].kind.high:
            yield f"{now + 1} bearers instead of {now}", {"frame.bearers": now + 1}
        return
    places = sorted(round((m.start.point[0] + m.end.point[0]) / 2, 1) for m in own)
    if len(places) > 1:
        gaps = [(b - a, (a + b) / 2) for a, b in pairwise(places)]
        middle = round(max(gaps)[1], 1)
        yield "One more bearer between the others", {"frame.bearers_at": tuple(sorted((*places, middle)))}


def _plates(brief: Brief) -> Iterator[tuple[str, dict[str, Any]]]:
    """The next thicker sheet, and larger gussets, where there are any."""
    kinds = {getattr(brief.braces, side) for side in ("front", "back", "left", "right")}
    keys = []
    if "gussets" in kinds:
        keys.append("braces.gusset_thickness")
        key = "braces.gusset"
        side = brief.braces.gusset + step_of(brief, key)
        if side <= BY_PATH[key].kind.high:
            yield f"Gussets: {shown(brief, key, side)} instead of {shown(brief, key, brief.braces.gusset)}", {key: side}
    if "sheet panel" in kinds:
        keys.append("braces.panel_thickness")
        other = "welded" if brief.braces.panel_fixing == "bolted" else "bolted"
        yield f"Panels: {other} instead of {brief.braces.panel_fixing}", {"braces.panel_fixing": other}
    if brief.frame.shelf == "sheet":
        keys.append("frame.shelf_thickness")
    if brief.top.kind in ("sheet", "tray"):
        keys.append("top.thickness")
    for key in keys:
        now = value_of(brief, key)
        system = "metric" if brief.units == "metric" else "inch"
        more = sorted(s.thickness for s in map(sheet, sheets(system)) if s.thickness > now + 0.01)
        if more and more[0] <= BY_PATH[key].kind.high:
            label = "Top sheet" if key == "top.thickness" else BY_PATH[key].label
            yield f"{label}: {shown(brief, key, more[0])} instead of {shown(brief, key, now)}", {key: more[0]}

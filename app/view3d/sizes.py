"""The sizes of a stand that a hand can pull: which key each sets, where its grip stands and which way it goes."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from app.view3d.handles import Floats, Here, Vector

Where = Callable[[Here], Vector]


@dataclass(frozen=True, slots=True, kw_only=True)
class Size:
    """One size, for the layouts that have it.

    Attributes
    ----------
    key : what it sets
    mark, name : what is written on the grip, what it is called
    at : where the grip stands, mm
    way : unit vector it moves along
    value : the size that a point of its line gives: mm, or degrees where ``degrees``
    shown : whether the present stand has it
    factor : how much the size grows when the grip moves 1 mm
    more : what else there is to say of a size, for example what is left between; "" for nothing
    """

    key: str
    mark: str
    name: str
    at: Where
    way: Where
    value: Callable[[Here, Floats], float]
    shown: Callable[[Here], bool]
    factor: float = 1.0
    degrees: bool = False
    more: Callable[[Here, float], str] = lambda _here, _value: ""


def layout(here: Here) -> str:
    """Return the layout of the stand."""
    return here.brief.frame.layout


def legs_middle(here: Here) -> tuple[float, float]:
    """Return x and y of the middle of the legs: a bench's ring may reach past them, and lies about the origin."""
    f = here.brief.frame
    if f.layout != "workbench":
        return 0.0, 0.0
    return (f.overhang_left - f.overhang_right) / 2, f.overhang_front / 2


def ring_half(here: Here) -> tuple[float, float]:
    """Return half the length and half the depth of the top ring."""
    f = here.brief.frame
    if f.layout != "workbench":
        return f.length / 2, f.depth / 2
    return (f.length + f.overhang_left + f.overhang_right) / 2, (f.depth + f.overhang_front) / 2


def leg_bottom(here: Here) -> float:
    """Return where legs, runners or a base plate begin."""
    feet, f = here.brief.feet, here.brief.frame
    return feet.height + (0.0 if f.layout == "column" and f.base == "plate" else feet.pad_thickness)

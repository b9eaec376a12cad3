"""What a millimetre at each screw does: to the bed's roll at any station, and to the press of every screw.

Screw i is a spring k between what it stands on and what it carries, with an extension s; its load is k on both
ends. A = roll of the bed's nodes for 1 mm, C = change of all presses, N = N0 + C s. The stand's own model answers.
Jacking screws are turned with their bolts slack: their ends tilt under the foot and no moment goes through.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from framecore.brief.model import Brief
from framecore.catalogue import thread as find_thread
from framecore.errors import Finding, LayoutError
from framecore.fem import Assembled, assemble
from framecore.frame.model import Frame
from framecore.strength import Strength

Floats = NDArray[np.float64]
FOOT, SCREW, SHIM = "foot", "screw", "shim"
KIND_OF_SEATING = {"bolted down": FOOT, "jacking screws": SCREW, "hollow jacking screws": SCREW, "shims": SHIM}


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Influence:
    """The screws that level the bed. n screws, b nodes of the bed.

    Attributes
    ----------
    kind : "foot", "screw" or "shim"; ``names`` (n,); ``points`` (n, 2) x, y on the stand, mm
    thread, pitch : of the screws, mm a turn; "" and 0 for shims
    travel : how far one may be moved either way, mm
    bed_x : (b,) distance of the bed's nodes from the left-hand mounts, mm; ``length`` to the right-hand ones
    roll : (b, n) roll of the bed for 1 mm more under a screw, mm/m per mm
    press : (n,) N, as it stands; ``change`` (n, n) N/mm, row: the press that changes, column: the screw moved
    open : (n,) feet that hang in the air
    """

    kind: str
    names: tuple[str, ...]
    points: Floats
    thread: str
    pitch: float
    travel: float
    bed_x: Floats
    length: float
    roll: Floats
    press: Floats
    change: Floats
    open: NDArray[np.bool_]

    def at(self, x: Floats | list[float]) -> Floats:
        """Roll at stations ``x`` (s,), mm from the left-hand mounts: (s, n) mm/m per mm."""
        return np.array([np.interp(x, self.bed_x, column) for column in self.roll.T]).T

    def twist(self, x: Floats | list[float]) -> Floats:
        """A: roll at each station after the first against the first, (s - 1, n) mm/m per mm."""
        rolls = self.at(x)
        return np.asarray(rolls[1:] - rolls[0])


def influence(brief: Brief, frame: Frame, strength: Strength, kind: str = "") -> Influence:
    """Ask the stand's own model; ``kind`` overrides what the brief's seating says.

    Feet are answered for without a bed too: ``bed_x`` is empty then and ``length`` 0.

    Raises
    ------
    LayoutError
        Screws or shims are asked for and the machine stands on no two rows of two mounts.
    """
    kind = kind or KIND_OF_SEATING[brief.mounting.seating]
    if strength.bed is None and kind != FOOT:
        raise no_bed()
    model = strength.model
    built = assemble(model)
    if strength.foot_open[:, 0].any() and not strength.foot_open[:, 0].all():
        built = built.released(strength.foot_open[:, 0])
    bars = [k for k, p in enumerate(strength.map.element_part) if p == "bed"]
    bed = np.append(model.elements[bars, 0], model.elements[bars[-1:], 1]) if strength.bed is not None else np.zeros(0, int)
    loads, ends, k = _feet(built) if kind == FOOT else _screws(built, strength)
    n = len(k)
    tilts = _tilts(built, strength) if kind == SCREW else None
    moved = built.solve(loads if tilts is None else np.concatenate([loads, tilts.loads], axis=2))
    change = -k[:, None] * (ends.reshape(n, -1) @ moved.reshape(-1, moved.shape[2]))
    change[np.diag_indices(n)] += k
    if tilts is not None:
        change[:, n:] += tilts.press
        follow = tilts.free(moved, n)
        moved, change = moved[:, :, :n] + moved[:, :, n:] @ follow, change[:, :n] + change[:, n:] @ follow
    settled = strength.displacements[:, :, 0]
    if kind == FOOT:
        press = strength.foot_loads[:, 0]
        names = strength.foot_names
        points = np.array([f.base[:2] for f in frame.feet])
        thread = brief.feet.thread
    else:
        press = -k * (ends.reshape(len(ends), -1) @ settled.ravel())
        names = tuple(m.name for m in frame.mounts)
        points = np.array([m.point[:2] for m in frame.mounts])
        thread = brief.mounting.screw if kind == SCREW else ""
    x = model.nodes[bed, 0]
    return Influence(
        kind=kind, names=names, points=points, thread=thread, pitch=find_thread(thread).pitch if thread else 0.0,
        travel=brief.feet.travel if kind == FOOT else max(brief.mounting.jack, 5.0),
        bed_x=x - x[:1], length=float(np.ptp(x)) if len(x) else 0.0, roll=1000.0 * moved[bed, 3, :],
        press=np.asarray(press, float), change=change,
        open=strength.foot_open[:, 0] if kind == FOOT else np.zeros(len(names), bool),
    )  # fmt: skip


def no_bed() -> LayoutError:
    """What to raise where a twist is asked for and there is no bed to twist."""
    sentence = "The machine stands on no two rows of two mounts: no screw twists a bed. Level it both ways and leave it."
    return LayoutError((Finding(code="seat.no_bed", message=sentence, field="machine.holes"),))


def _feet(built: Assembled) -> tuple[Floats, Floats, Floats]:
    """Loads (n, 6, f) of 1 mm under each foot; what reads each foot's shortening (f, n, 6); stiffnesses (f,)."""
    model = built.model
    feet, k = model.spring_nodes, model.stiffness[:, 2]
    read = np.zeros((len(feet), model.n_nodes, 6))
    read[np.arange(len(feet)), feet, 2] = 1.0
    return np.moveaxis(read, 0, 2) * k, read, k


def _screws(built: Assembled, strength: Strength) -> tuple[Floats, Floats, Floats]:
    """Do the same for each mount: it lengthens between stand and bed."""
    model = built.model
    rows = np.array([k for k, p in enumerate(strength.map.element_part) if p == "mount"], np.intp)
    stretch = built.transform[rows, 6] - built.transform[rows, 0]  # (m, 12): elongation
    k = model.per_element("e")[rows] * model.per_element("area")[rows] / model.length[rows]
    read = np.zeros((len(rows), model.n_nodes, 6))
    for end in (0, 1):
        read[np.arange(len(rows)), model.elements[rows, end]] += stretch.reshape(-1, 2, 6)[:, end]
    return np.moveaxis(read, 0, 2) * k, read, k


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Tilts:
    """Tilts of each screw's top under the foot, about x and y: t = 2 m of them.

    ``loads`` (n, 6, t) of a unit tilt; ``moment`` (t, n, 6) reads the moment there from movements, ``own`` (t, t) that
    of the tilts themselves; ``press`` (m, t) what they add to the presses themselves.
    """

    loads: Floats
    moment: Floats
    own: Floats
    press: Floats

    def free(self, moved: Floats, n: int) -> Floats:
        """Return the tilts (t, n) that leave no moment when each screw is moved; columns of tilts follow the first n."""
        read = self.moment.reshape(len(self.own), -1) @ moved.reshape(-1, moved.shape[2])
        return np.asarray(-np.linalg.solve(read[:, n:] + self.own, read[:, :n]), float)


def _tilts(built: Assembled, strength: Strength) -> _Tilts:
    model = built.model
    rows = np.array([k for k, p in enumerate(strength.map.element_part) if p == "mount"], np.intp)
    m = len(rows)
    stiff = built.transform[rows].transpose(0, 2, 1) @ built.local[rows]  # (m, 12, 12)
    moment, own, press = np.zeros((2 * m, model.n_nodes, 6)), np.zeros((2 * m, 2 * m)), np.zeros((m, 2 * m))
    stretch = built.transform[rows, 6] - built.transform[rows, 0]
    k = model.per_element("e")[rows] * model.per_element("area")[rows] / model.length[rows]
    for e in range(m):
        at = slice(2 * e, 2 * e + 2)  # about x and y at the bar's upper end
        for end in (0, 1):
            moment[at, model.elements[rows[e], end]] += stiff[e, 9:11].reshape(2, 2, 6)[:, end]
        own[at, at] = stiff[e, 9:11, 9:11]
        press[e, at] = -k[e] * stretch[e, 9:11]
    return _Tilts(loads=-np.moveaxis(moment, 0, 2), moment=moment, own=own, press=press)

"""Which assemblies are alike, so that one drawing serves both: the same pieces and the same welds in the same places."""

from __future__ import annotations

from itertools import product

import numpy as np
from numpy.typing import NDArray

from framecore.frame.model import Hole, Member, Plate
from framecore.sheets.assemblies.assembly_data import Floats, Kind, axes_of, names_of, view_of
from framecore.sheets.welds.weld_seams import Seams, seams_of
from framecore.shop.assemblies import STAND
from framecore.shop.work import Assembly, Work
from framecore.stand.model import Stand

NEAR = 0.2  # mm; places nearer than this are one
NEAR_SEAM = 2.0  # mm; seams nearer than this lie in the same place


def kinds(stand: Stand, work: Work) -> tuple[Kind, ...]:
    """Group the assemblies; alike are those of the same pieces and welds in the same places, turned over or mirrored."""
    out: list[Kind] = []
    for number, assembly in enumerate(work.assemblies, 1):
        for k, kind in enumerate(out):
            how = "" if STAND in (assembly.name, kind.assembly.name) else likeness(stand, work, kind.assembly, assembly)
            if how:
                out[k] = Kind(number=kind.number, assembly=kind.assembly, alike=(*kind.alike, (number, assembly, how)))
                break
        else:
            out.append(Kind(number=number, assembly=assembly))
    return tuple(out)


def likeness(stand: Stand, work: Work, a: Assembly, b: Assembly) -> str:
    """Return "like" where ``b`` is ``a`` turned over, "mirror" where only its mirror image, "" where neither.

    What is like it may be welded in its order whatever its own is; a mirror image has the same numbers in the same places.
    """
    ways = turns(stand, a, b)
    if not ways or (a.flat is None) != (b.flat is None) or len(names_of(a, work)) != len(names_of(b, work)):
        return ""
    first, second = (seams_of([w for w in work.welds if w.assembly == x.name]) for x in (a, b))
    if len(first.of) != len(second.of):
        return ""
    mine, other = _places(stand, a, first), _places(stand, b, second)
    if any(_lie(first, mine * _both(s), second, other, order=False) for s in ways if np.prod(s) > 0):
        return "like"
    return "mirror" if any(_lie(first, mine * _both(s), second, other, order=True) for s in ways if np.prod(s) < 0) else ""


def turns(stand: Stand, a: Assembly, b: Assembly) -> list[tuple[float, ...]]:
    """Return the signs of the three axes of ``a`` as it is looked at that lay its pieces on those of ``b``; none or some."""
    counts = [(len(x.members), len(x.plates), len(x.takes)) for x in (a, b)]
    if counts[0] != counts[1] or not (a.members or a.plates):
        return []
    first, second = _spots(stand, a), _spots(stand, b)
    if [s[0] for s in first] != [s[0] for s in second]:
        return []
    marks = np.array([hash(s[0]) for s in first])
    p, q = (np.array([s[1] for s in spots]) for spots in (first, second))
    return [signs for signs in product((1.0, -1.0), repeat=3) if _same(marks, p * signs, q)]


def _same(marks: NDArray[np.int64], p: Floats, q: Floats) -> bool:
    """Whether every place of p is one of q with the same mark."""
    away = np.abs(p[:, None] - q[None]).max(axis=2)
    return bool(((away < NEAR) & (marks[:, None] == marks[None])).any(axis=1).all())


def _spots(stand: Stand, assembly: Assembly) -> list[tuple[str, tuple[float, float, float]]]:
    """Mark and place of the members' ends, the plates' middles and the holes, in the assembly's own axes."""
    axes = axes_of(view_of(stand, assembly))
    frame, mark_of = stand.frame, stand.shop.piece_of
    found: list[tuple[str, Floats]] = []
    for name in assembly.members:
        m = frame.member(name)
        found += [(mark_of[name], axes @ np.asarray(e.point)) for e in (m.start, m.end)]
    for name in assembly.plates:
        found.append((mark_of[name], axes @ _middle(frame.plate(name))))
    middle = np.mean([p for _, p in found], axis=0)
    own = set(assembly.members)
    for h in frame.holes:
        if h.owner in own:
            found.append((f"hole {h.diameter:.1f} {h.slot:.1f}", axes @ _inside(h, frame.member(h.owner))))
    spots = [(k, tuple(float(v) for v in p - middle)) for k, p in found]
    return sorted(spots, key=lambda s: s[0])  # type: ignore[arg-type]


def _inside(hole: Hole, member: Member) -> Floats:
    """The hole's middle in the middle of the member: from which side it is drilled is the piece's own matter."""
    x = np.asarray(member.x_axis)
    start = np.asarray(member.start.point)
    return np.asarray(start + ((np.asarray(hole.centre) - start) @ x) * x)


def _middle(plate: Plate) -> Floats:
    low, high = plate.outline.min(axis=0), plate.outline.max(axis=0)
    u, v = np.asarray(plate.u_axis), np.asarray(plate.v_axis)
    mid = (low + high) / 2
    return np.asarray(np.asarray(plate.origin) + mid[0] * u + mid[1] * v + np.cross(u, v) * plate.thickness / 2)


def _both(signs: tuple[float, ...]) -> NDArray[np.float64]:
    """The signs for the middle of a seam; how far it reaches either way has none."""
    return np.array([*signs, 1.0, 1.0, 1.0])


def _places(stand: Stand, a: Assembly, seams: Seams) -> NDArray[np.float64]:
    """(k, 6) middle of every seam in the assembly's own axes, from the middle of all, and how far it reaches along them, mm."""
    axes = axes_of(view_of(stand, a))
    p, q = seams.starts @ axes.T, seams.ends @ axes.T
    both = np.vstack([p, q])
    return np.hstack([(p + q) / 2 - (both.min(axis=0) + both.max(axis=0)) / 2, np.abs(q - p)])


def _lie(
    first: Seams, p: NDArray[np.float64], second: Seams, q: NDArray[np.float64], *, order: bool
) -> bool:
    """Whether every seam lies on one of the other's with the same mark, and with the same number where that counts."""

    def names(s: Seams) -> NDArray[np.str_]:
        return np.array([f"{s.welds[k].mark} {s.welds[k].order if order else 0}" for k in s.of])

    near = (np.abs(p[:, None] - q[None]) < NEAR_SEAM).all(axis=2)
    return bool((near & (names(first)[:, None] == names(second)[None])).any(axis=1).all())

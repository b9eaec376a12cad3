"""The welds: which seams are welded and how, from where the shapes really touch.

Members that share a joint are welded along every seam that has air. Plates that carry are welded all round; sheet is
stitched, never welded through, because it would buckle; what is screwed or folded is not welded at all.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from framecore.brief.model import Brief
from framecore.frame.fitup import flare_share
from framecore.frame.model import Frame, Member, Plate, PlateRole, Role, Vector
from framecore.frame.vector import along, minus
from framecore.seat.turned import Boss
from framecore.shop._over import dressed
from framecore.shop.filler import section
from framecore.shop.weld_order import in_order
from framecore.shop.work import Assembly, Weld
from framecore.solids.contacts import FLUSH, Contact, Seam
from framecore.strength._welds import laid_leg

SOLID = (PlateRole.PAD, PlateRole.BLOCK, PlateRole.CAP, PlateRole.HEAD, PlateRole.BASE, PlateRole.GUSSET)
STITCHED = (PlateRole.SHELF, PlateRole.TOP, PlateRole.PANEL, PlateRole.BACK)
THIN = 3.0  # mm; sheet up to here is stitched even where a plate would be welded all round
STITCH, STITCH_PITCH = 25.0, 150.0  # mm (common practice)
HOLDS = 4  # members that a sheet is stitched to at most: its four sides
SQUARE = 3.2  # mm; a closed square butt welded from one side goes no deeper (AWS D1.1 B-P1, 1/8 in, from memory)
_LEAST = math.radians(30)  # a sharper gap lets no electrode in
_FLUSH = (FLUSH, math.radians(210))
_ALIKE = 5.0  # mm; welds that differ by less carry one mark
_BIT = 10.0  # mm; shorter bits of a rim are left alone beside longer ones
_NEARLY = 0.8  # of the longest seam that a better one may be shorter
_TACK = 60.0  # mm; longer runs are tacked near both ends
_BOSS_SIDES = 24
_KINDS = ("fillet", "flare-bevel", "butt", "corner")
_FAMILY = {
    Role.LEG: "leg", Role.COLUMN: "leg", Role.BRACE: "brace", Role.POST: "post", Role.BEAM: "beam", Role.BASE: "base",
}  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class _Size:
    kind: str
    leg: float
    throat: float


def welds(
    brief: Brief, frame: Frame, touching: Sequence[Contact], assemblies: Sequence[Assembly], boss: Boss | None = None
) -> tuple[Weld, ...]:
    """Return every weld with its mark, assembly and place in the order of welding.

    Parameters
    ----------
    touching : of ``framecore.solids.contacts``, found in the order of these assemblies
    assemblies : of ``framecore.shop.assemblies``; the last one is the whole stand
    boss : welded into every pad that is too thin for a foot's thread, None where pads hold it

    Notes
    -----
    A fillet's throat is ``z cos(opening / 2)`` for equal legs z; a weld with seams of several openings has the least.
    """
    parts: dict[str, Member | Plate] = {m.name: m for m in frame.members} | {p.name: p for p in frame.plates}
    joints: dict[frozenset[str], str] = {}
    for j in frame.joints:
        for a in j.members:
            for b in j.members:
                if a < b:
                    joints.setdefault(frozenset((a, b)), j.name)
    seams: dict[tuple[str, str], list[Seam]] = defaultdict(list)
    for contact in touching:
        seams[contact.one, contact.other] += contact.seams
    board = any(not p.steel for p in frame.plates if p.role is PlateRole.TOP)
    found: list[Weld] = []
    stitched: dict[str, list[Weld]] = defaultdict(list)
    for pair, own in seams.items():
        two = (parts[pair[0]], parts[pair[1]])
        plates = [p for p in two if isinstance(p, Plate)]
        how = _plate_how(brief, two, board) if plates else "round" if frozenset(pair) in joints else ""
        joint = min(plates, key=lambda p: p.role is not PlateRole.BACKSTOP).name if plates else joints.get(frozenset(pair), "")
        if how == "stitch":
            stitched[joint] += _stitching(brief, pair, own, two, joint)
        elif how:
            found += _all_round(brief, pair, own, two, joint)
    for sheet in stitched.values():
        found += _holding(sheet, parts)
    found += _bosses(brief, frame, boss)
    homes = {n: k for k, a in enumerate(assemblies) for n in (*a.members, *a.plates)}
    placed = [replace(w, assembly=_home(w, homes, assemblies)) for w in dressed(brief, frame, found)]
    return _marked(in_order(placed, [a.name for a in assemblies]), parts)


def _plate_how(brief: Brief, parts: Sequence[Member | Plate], board: bool) -> str:
    """Return "round", "stitch" or "" for a contact with a plate in it; ``board``: a backstop is screwed to a wooden top."""
    plates = [p for p in parts if isinstance(p, Plate)]
    roles = {p.role for p in plates}
    if not all(p.steel for p in plates):
        return ""
    if PlateRole.BACKSTOP in roles:
        return "" if board else "stitch"
    if len(plates) == 2:
        one, other = plates
        if one.sheet and one.sheet == other.sheet:
            # Lips are folded up from the bottom; only where two lips meet is the corner welded.
            return "" if "bottom" in one.name + other.name else "round"
        return "round" if roles <= set(SOLID) else ""
    (plate,) = plates
    if plate.sheet or (plate.role is PlateRole.PANEL and brief.braces.panel_fixing == "bolted"):
        return ""
    if plate.role in STITCHED or (plate.role is PlateRole.BRACKET and plate.thickness <= THIN):
        return "stitch"
    return "round"


def _all_round(
    brief: Brief, pair: tuple[str, str], seams: Sequence[Seam], parts: Sequence[Member | Plate], joint: str
) -> Iterator[Weld]:
    """One weld for each kind of seam between two parts, those apart that a later part comes to lie on."""
    kinds: dict[tuple[str, str], list[tuple[Seam, _Size]]] = defaultdict(list)
    most = max((s.length for s in seams), default=0.0)
    for seam in seams:
        if seam.opening >= _LEAST and seam.length >= min(_BIT, most):
            size = _size(brief, seam, parts)
            kinds[size.kind, seam.under].append((seam, size))
    for kind, under in sorted(kinds, key=lambda k: (_KINDS.index(k[0]), k[1])):
        own = kinds[kind, under]
        yield Weld(
            mark="", joint=joint, parts=_run_first(pair, seams), kind=kind, leg=own[0][1].leg,
            throat=min(s.throat for _, s in own), runs=tuple((s.a, s.b) for s, _ in own),
            length=sum(s.length for s, _ in own), faces=tuple((s.one, s.other) for s, _ in own),
            metal=sum(_metal(s, z) * s.length for s, z in own), tacks=tuple(t for s, _ in own for t in _tacks(s)),
            under=under,
        )  # fmt: skip


def _stitching(
    brief: Brief, pair: tuple[str, str], seams: Sequence[Seam], parts: Sequence[Member | Plate], joint: str
) -> Iterator[Weld]:
    """The best seam between a sheet and one member: as long as any, its edge on the member's flat if it can be."""
    fit = [s for s in seams if _LEAST <= s.opening < _FLUSH[0] and s.length > 2 * STITCH]
    if not fit:
        return
    longest = max(s.length for s in fit)
    seam = max(fit, key=lambda s: (s.length >= _NEARLY * longest, not s.flare, round(s.length, 3)))
    panel = any(isinstance(p, Plate) and p.role is PlateRole.PANEL for p in parts)
    pitch = brief.braces.panel_pitch if panel else STITCH_PITCH
    size = _size(brief, seam, parts)
    length = stitches(seam.length, pitch) * STITCH
    yield Weld(
        mark="", joint=joint, parts=_run_first(pair, seams), kind=size.kind, leg=size.leg, throat=size.throat,
        runs=((seam.a, seam.b),), length=length, faces=((seam.one, seam.other),), pitch=pitch, stitch=STITCH,
        metal=_metal(seam, size) * length, tacks=_tacks(seam),
    )  # fmt: skip


def _holding(sheet: Sequence[Weld], parts: dict[str, Member | Plate]) -> list[Weld]:
    """Of the seams of one sheet those that hold it: on rails and bearers, on legs only where it has nothing else."""

    def on_leg(w: Weld) -> bool:
        return any(isinstance(p, Member) and p.role is Role.LEG for p in map(parts.__getitem__, w.parts))

    own = [w for w in sheet if not on_leg(w)] or list(sheet)
    return sorted(own, key=lambda w: (-round(math.dist(*w.runs[0]), 3), w.parts))[:HOLDS]


def stitches(length: float, pitch: float) -> int:
    """Return the stitches of a run: one at each end, the rest at most a pitch apart."""
    return 1 if length < 2 * STITCH else math.ceil((length - STITCH) / pitch - 1e-9) + 1


def _run_first(pair: tuple[str, str], seams: Sequence[Seam]) -> tuple[str, str]:
    """The part that is welded onto first: it ends at fewer of the seams."""
    ending = [sum(s.edges == e for s in seams) for e in ((True, False), (False, True))]
    return pair if ending[1] >= ending[0] else (pair[1], pair[0])


def _size(brief: Brief, seam: Seam, parts: Sequence[Member | Plate]) -> _Size:
    thin = min(p.profile.wall if isinstance(p, Member) else p.thickness for p in parts)
    leg = laid_leg(brief, thin)
    if seam.flare:
        return _Size(kind="flare-bevel", leg=0.0, throat=min(flare_share(brief.welding.process) * seam.flare, thin))
    if seam.opening < _FLUSH[0]:
        return _Size(kind="fillet", leg=leg, throat=round(leg * math.cos(seam.opening / 2), 3))
    if seam.opening <= _FLUSH[1]:
        return _Size(kind="butt", leg=0.0, throat=min(thin, SQUARE))
    return _Size(kind="corner", leg=0.0, throat=thin)


def _metal(seam: Seam, size: _Size) -> float:
    return section(size.kind, leg=size.leg, throat=size.throat, opening=seam.opening, flare=seam.flare)


def _tacks(seam: Seam) -> tuple[Vector, ...]:
    way = minus(seam.b, seam.a)
    at = (0.5,) if seam.length < _TACK else (0.15, 0.85)
    return tuple(along(seam.a, t, way) for t in at)


def _bosses(brief: Brief, frame: Frame, boss: Boss | None) -> Iterator[Weld]:
    """A ring of fillet round each boss, on the pad's lower face."""
    pads = {p.name: p for p in frame.plates}
    for foot in frame.feet if boss is not None else ():
        assert boss is not None
        r, (x, y, z) = boss.outside / 2, foot.top
        leg = laid_leg(brief, pads[foot.pad].thickness)
        turn = [2 * math.pi * k / _BOSS_SIDES for k in range(_BOSS_SIDES + 1)]
        ring = tuple((x + r * math.cos(a), y + r * math.sin(a), z) for a in turn)
        length = 2 * math.pi * r
        metal = section("fillet", leg=leg, throat=leg / math.sqrt(2), opening=math.pi / 2) * length
        yield Weld(
            mark="", joint=foot.pad, parts=(foot.pad, foot.name), kind="fillet", leg=leg, throat=round(leg / math.sqrt(2), 3),
            runs=(ring,), length=length, faces=(((0.0, 0.0, -1.0), (1.0, 0.0, 0.0)),), metal=metal,
            why="round the boss for the foot's stud", tacks=(ring[0], ring[_BOSS_SIDES // 3], ring[2 * _BOSS_SIDES // 3]),
        )  # fmt: skip


def _home(w: Weld, homes: dict[str, int], assemblies: Sequence[Assembly]) -> str:
    """A weld within one assembly is made there, any other where both come together."""
    known = [homes[n] for n in w.parts if n in homes]
    if len(set(known)) == 1:
        return assemblies[known[0]].name
    takers: dict[str, int] = {n: k for k, a in enumerate(assemblies) for n in a.takes}
    chains = []
    for k in known:
        chain = [k]
        while assemblies[chain[-1]].name in takers:
            chain.append(takers[assemblies[chain[-1]].name])
        chains.append(chain)
    shared = set(chains[0]).intersection(*chains[1:]) if chains else set()
    return assemblies[min(shared, default=len(assemblies) - 1)].name


def _marked(ordered: Sequence[Weld], parts: dict[str, Member | Plate]) -> tuple[Weld, ...]:
    """Welds that are alike carry one mark, numbered as they first come."""
    marks: dict[tuple[object, ...], str] = {}
    out = []
    for w in ordered:
        throat = 0.0 if w.kind == "fillet" else round(w.throat, 1)  # a fillet is laid by its leg
        size = (w.leg, throat, len(w.runs), round(w.length / _ALIKE), w.pitch, w.flush, w.why)
        key = (w.kind, size, frozenset(_family(parts.get(n)) for n in w.parts))
        marks.setdefault(key, f"W{len(marks) + 1}")
        out.append(replace(w, mark=marks[key]))
    return tuple(out)


def _family(part: Member | Plate | None) -> str:
    if isinstance(part, Plate):
        return str(part.role)
    return _FAMILY.get(part.role, "rail") if part is not None else "boss"

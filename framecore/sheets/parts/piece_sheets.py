"""Every piece as it leaves the saw and the drill: drawn once, with all that is done to it, several on a page."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from framecore.frame.model import Hole, Member
from framecore.frame.vector import dot
from framecore.sheets.drawing.flow import wrap
from framecore.sheets.drawing.model import Line, Point2, Primitive, Text, ViewPlacement
from framecore.sheets.drawing.pens import text_width
from framecore.sheets.paper import INCH_SCALES, METRIC_SCALES, TITLE_HEIGHT, TITLE_WIDTH, Draft, drawing_space
from framecore.sheets.parts.piece_data import FLAT, Shape, Zones, shape_of, zones
from framecore.sheets.parts.piece_facing import facing_words
from framecore.sheets.parts.piece_views import aside_of, draw_face, draw_section, room_of
from framecore.sheets.parts.turned_cells import exact_words
from framecore.sheets.words import length_words
from framecore.shop._say import names as join_names
from framecore.shop.model import ShopPiece
from framecore.shop.open_ends import CAP, End, tube_ends
from framecore.stand.model import Stand
from framecore.units import POUND

EDGE = 6.0  # mm kept to the frame
GUTTER = 10.0  # mm between columns
BETWEEN = 6.0  # mm between pieces
NARROWEST = 110.0  # mm a third column is wide at least: as on small paper two are
TALLEST, SHORTER = 24.0, 12.5  # mm on paper that a section is high at most; and where that saves a page
ASIDE = 13.0  # mm kept left and right of a bar, for words of its sizes
HEAD, TEXT = 3.5, 2.5
ROW = 4.0
OVER, UNDER = 2.0, 3.0  # mm that the outermost lane leaves free over and under its sizes
SECTION = 5.0  # mm from the bar to its section


@dataclass(frozen=True, slots=True, kw_only=True)
class _Cell:
    """A piece with its words and the room it takes, mm."""

    piece: ShopPiece
    shape: Shape
    n: int
    zones: tuple[Zones, ...]
    aside: tuple[float, ...]  # kept left of each view
    head: str
    ends: tuple[str, str]
    low: float  # how far the right end's words stand under the left one's, where both have no room in one row
    rows: tuple[str, ...]
    high: float
    chamfer: float


def pages(stand: Stand, paper: str) -> tuple[Draft, ...]:
    """Draw every piece of the stand, column by column."""
    out, wide = _paged(stand, paper, 2, TALLEST)
    # Drawn a little smaller, or in narrower columns, they may need a page less.
    for count, most in ((2, SHORTER), (3, TALLEST), (3, SHORTER)):
        if len(out) == 1 or (count > 2 and _columns(paper, count)[1] < NARROWEST):
            break
        tried, narrow = _paged(stand, paper, count, most)
        if len(tried) < len(out):
            out, wide = tried, narrow
    drafts = []
    for k, placed in enumerate(out, 1):
        views: list[ViewPlacement] = []
        primitives: list[Primitive] = []
        for cell, at in placed:
            found, drawn = _draw(stand, cell, at, wide)
            views += found
            primitives += drawn
        scales = {cell.n for cell, _ in placed}
        title = "pieces" if len(out) == 1 else f"pieces {k}"
        text = f"1:{min(scales)}" if len(scales) == 1 else "as noted"
        drafts.append(
            Draft(title=title, kind="Part drawing", primitives=tuple(primitives), views=tuple(views), scale_text=text)
        )
    return tuple(drafts)


def _paged(stand: Stand, paper: str, count: int, most: float) -> tuple[list[list[tuple[_Cell, Point2]]], float]:
    """Pages of pieces in so many columns, and how wide a column is, mm."""
    columns, wide = _columns(paper, count)
    top = drawing_space(paper)[3] - EDGE
    return _laid([_cell(stand, p, wide, most) for p in stand.shop.pieces], columns, top), wide


def _columns(paper: str, count: int) -> tuple[list[Point2], float]:
    """Left edge of each column and how far it comes down; their width, mm."""
    x0, y0, x1, _ = drawing_space(paper)
    wide = (x1 - x0 - 2 * EDGE - (count - 1) * GUTTER) / count
    lefts = [x0 + EDGE + k * (wide + GUTTER) for k in range(count)]
    floor = y0 + TITLE_HEIGHT + 4.0
    return [(left, y0 + EDGE if left + wide <= x1 - TITLE_WIDTH - 2.0 else floor) for left in lefts], wide


def _laid(cells: Sequence[_Cell], columns: Sequence[Point2], top: float) -> list[list[tuple[_Cell, Point2]]]:
    """Pages of pieces with their upper left corners, column by column; ``columns``: left edge and how far each comes down."""
    out: list[list[tuple[_Cell, Point2]]] = [[]]
    column, y = 0, top
    for cell in cells:
        if y - cell.high < columns[column][1] and y < top:
            column, y = column + 1, top
            if column == len(columns):
                column = 0
                out.append([])
        out[-1].append((cell, (columns[column][0], y)))
        y -= cell.high + BETWEEN
    return out


def _cell(stand: Stand, piece: ShopPiece, wide: float, most: float) -> _Cell:
    """A piece at the largest scale at which its section is no higher than ``most`` mm and its ends and holes fit."""
    m = stand.frame.member(piece.members[0])
    shape, words = shape_of(stand.frame, m), length_words(stand)
    series = METRIC_SCALES if stand.brief.units == "metric" else INCH_SCALES
    tall = max(f.high for f in shape.faces)
    third = stand.brief.sheet.projection == "third angle"
    found: tuple[int, tuple[tuple[Zones, float], ...]] | None = None
    for n in series:
        if tall / n > most and n != series[-1]:
            continue
        made = [_fitted(shape, f, 1 / n, wide, words, third=third) for f in range(len(shape.faces))]
        if all(z is not None for z in made):
            found = n, tuple(z for z in made if z is not None)
            break
    assert found is not None  # a bar fits some scale
    n, z = found[0], tuple(z for z, _ in found[1])
    head = f"{piece.mark}   {len(piece.members)} off   {piece.profile.id}   1:{n}"
    chamfer = chamfer_of(stand, m)
    rows = tuple(r for text in facts(stand, piece, m, chamfer) for r in wrap(text, wide, TEXT))
    left, right = (f"{side} end: {text}" for side, text in zip(("left", "right"), end_words(piece), strict=True))
    low = 0.0 if text_width(left, TEXT) + text_width(right, TEXT) + 4.0 < wide else ROW
    high = HEAD + 2.5 + ROW + low
    for face, zone in zip(shape.faces, z, strict=True):
        under, over = room_of(face, zone, words)
        high += max(over - OVER, 2.5) + face.high / n + under - UNDER
    return _Cell(
        piece=piece, shape=shape, n=n, zones=z, aside=tuple(a for _, a in found[1]), head=head, ends=(left, right), low=low,
        rows=rows, high=high + ROW * len(rows), chamfer=chamfer,
    )  # fmt: skip


def _fitted(
    shape: Shape, k: int, scale: float, wide: float, words: Callable[[float], str], *, third: bool
) -> tuple[Zones, float] | None:
    """What is drawn of a piece and the room kept left of it, so that its sizes stay in the column; None where none fits."""
    face = shape.faces[k]
    section, own = (SECTION + deep * scale for deep in (max(f.deep for f in shape.faces), face.deep))
    beside = (own, 0.0) if third else (0.0, own)
    left, right = ASIDE, ASIDE
    for _ in range(4):
        z = _zones(shape, k, scale, wide - left - right - section)
        if z is None:
            return None
        # Words of short sizes stand beside their arrows and may reach further than what is kept.
        over = [o - b for o, b in zip(aside_of(face, z, words), beside, strict=True)]
        if over[0] <= left and over[1] <= right:
            return z, left
        left, right = max(left, over[0]), max(right, over[1])
    return None


def _zones(shape: Shape, k: int, scale: float, room: float) -> Zones | None:
    face = shape.faces[k]
    first = max(p[0] for c in (face.near, face.far) for p in (c[0], c[3]))
    last = min(p[0] for c in (face.near, face.far) for p in (c[1], c[2]))
    whole = max(p[0] for c in (face.near, face.far) for p in c)
    ends = max(first, whole - last) + max(0.6 * face.high, 16.0 / scale)
    return zones(whole, [c.at[0] + w * c.slot[0] for c in face.cuts for w in (-1, 1)], scale, room, ends)


def _draw(stand: Stand, cell: _Cell, at: Point2, wide: float) -> tuple[list[ViewPlacement], list[Primitive]]:
    """Draw a piece into its column; ``at`` the upper left corner."""
    words, s, p = length_words(stand), 1 / cell.n, cell.piece
    x, y = at
    out: list[Primitive] = [
        Line(points=((x, y + BETWEEN / 2 - 0.5), (x + wide, y + BETWEEN / 2 - 0.5)), layer="thin"),
        Text(at=(x, y - HEAD), text=cell.head, height=HEAD, bold=True),
    ]
    mass = _mass(stand, p.mass)
    if text_width(cell.head, HEAD, True) + text_width(mass, TEXT) + 4.0 < wide:
        out.append(Text(at=(x + wide, y - HEAD), text=mass, height=TEXT, align="right"))
    y -= HEAD + 2.5
    out.append(Text(at=(x, y - TEXT), text=cell.ends[0], height=TEXT))
    y -= cell.low
    out.append(Text(at=(x + wide, y - TEXT), text=cell.ends[1], height=TEXT, align="right"))
    y -= ROW
    third = stand.brief.sheet.projection == "third angle"
    views: list[ViewPlacement] = []
    compound = len(cell.shape.faces) > 1 and any(abs(v) > FLAT for v in cell.shape.faces[1].slopes)
    for k, (face, zone, aside) in enumerate(zip(cell.shape.faces, cell.zones, cell.aside, strict=True)):
        under, over = room_of(face, zone, words)
        deep = face.deep * s
        y -= max(over - OVER, 2.5) + face.high * s
        # Seen from its left end the section stands on the right in first angle, on the left in third.
        left = x + aside + (deep + SECTION if third else 0.0)
        name = p.mark if k == 0 else f"{p.mark} lower face"
        found, drawn = draw_face(face, zone, (left, y), words, name, chamfer=cell.chamfer if k == 0 else 0.0,
                                 angles=k == 0 or not compound)  # fmt: skip
        views += found
        out += drawn
        middle = x + aside + deep / 2 if third else left + zone.wide + SECTION + deep / 2
        out += draw_section(face, (middle, y), s)
        y -= under - UNDER
    for row in cell.rows:
        out.append(Text(at=(x, y - TEXT), text=row, height=TEXT))
        y -= ROW
    return views, out


def _mass(stand: Stand, kg: float) -> str:
    return f"{kg / POUND:.1f} lb each" if stand.brief.units.startswith("inch") else f"{kg:.1f} kg each"


def end_words(piece: ShopPiece) -> tuple[str, str]:
    """Return how both ends are sawn, in words."""
    return piece.ends[0], piece.ends[1].replace(" parallel", ", parallel to the left one")


def facts(stand: Stand, piece: ShopPiece, m: Member, chamfer: float) -> list[str]:
    """Return what is to be known at the saw, the drill and the grinder, and what the piece becomes."""
    words = length_words(stand)
    saw = f"Saw {words(piece.sawn)}"
    if piece.short_length < piece.length - 0.05:
        saw += f" long point to long point, {words(piece.short_length + piece.longer)} along the shortest edge"
    if piece.longer > 0:
        saw += f": {words(piece.longer)} more than drawn, which its welds take off again"
        saw += "; measure its holes from the middle" if piece.holes else ""
    out = [saw + "."]
    if len(shape_of(stand.frame, m).faces) > 1:
        out[0] += " Second view: the piece rolled until its lower face is in front."
    out += hole_words(m, stand.frame.holes, words)
    out += facing_words(stand.frame, piece.members, shape_of(stand.frame, m))
    exact = exact_words(stand.brief.units)
    sleeves = stand.shop.seat.sleeves if stand.shop.seat is not None else ()
    for s in sleeves:
        own = set(s.owners) & set(piece.members)
        if own:
            out.append(
                f"Crush sleeve {exact(s.outside)} outside, bore {exact(s.bore)}, {exact(s.length)} long in each machine hole."
            )
    if chamfer > 0:
        out.append(f"Grind the outermost corner of both ends {words(chamfer)} × 45°: it sits in the root of the leg's angle.")
    if piece.chamfer > 0:
        out.append(f"Grind the edge that sits in an angle's root {words(piece.chamfer)} × 45°.")
    if piece.note:
        out.append(piece.note[:1].upper() + piece.note[1:] + ".")
    if piece.profile.closed:
        out.append(_vent_words(stand, piece))
    out.append("Becomes " + ", ".join(piece.members) + ".")
    return out


def _vent_words(stand: Stand, piece: ShopPiece) -> str:
    """What the inside of a tube needs: a vent where welds close it, a cap where an end stays open."""
    ends = [tube_ends(stand.frame)[name] for name in piece.members]
    closed = [e.count(End.WELDED) == 2 for e in ends]
    if any(closed):
        size = "3 mm" if stand.brief.units == "metric" else "1/8 in"
        which = "" if all(closed) else f" in {join_names(n for n, c in zip(piece.members, closed, strict=True) if c)}"
        return f"Vent hole {size}{which}, under a neighbour or low at the back: welds close both ends (common practice)."
    capped = any(n in b.where for b in stand.shop.bought if b.what == CAP for n in piece.members)
    return "No vent hole: an end stays open" + (" and gets a cap." if capped else ".")


def chamfer_of(stand: Stand, m: Member) -> float:
    """Return the chamfer, mm, to be ground off a piece's ends so that they sit in the root of an angle; 0 none."""
    if m.profile.is_angle:
        return 0.0
    own = [f for j in stand.frame.joints if m.name in j.members for f in j.fit_ups if f.kind == "angle root"]
    return max((f.chamfer for f in own), default=0.0) if m.end.kind == "mitre" else 0.0


def hole_words(m: Member, holes: Sequence[Hole], say: Callable[[float], str]) -> list[str]:
    """Return a sentence for each kind of hole: how many, how large, how deep, where across the face, what for."""
    groups: dict[str, list[Hole]] = {}
    for h in holes:
        if h.owner == m.name:
            groups.setdefault(_hole(m, h, say), []).append(h)
    out = []
    for text, own in groups.items():
        what = sorted({_purpose(h) for h in own})
        out.append(f"{len(own)} × {text}: {', '.join(what)}.")
    return out


def _purpose(hole: Hole) -> str:
    word, _, tail = hole.purpose.rpartition(" ")
    return word if word and tail.isdigit() else hole.purpose


def _hole(m: Member, h: Hole, say: Callable[[float], str]) -> str:
    p = m.profile
    up = abs(dot(h.axis, m.z_axis)) > 0.9
    deep = p.height if up else p.width
    size = f"ø{say(h.diameter)}"
    if h.slot > 0:
        size = f"slot {say(h.diameter)} × {say(h.slot + h.diameter)}"
    if h.tapped:
        size = f"{h.tapped} tapped, drill ø{say(h.diameter)}"
    if h.depth > deep - 1.0:
        how = "through both walls" if p.closed else "through"
    elif p.closed and h.depth <= 2 * p.wall:
        how = "through one wall"
    else:
        how = f"{say(h.depth)} deep"
    off = [a - b for a, b in zip(h.centre, m.start.point, strict=True)]
    axis, centre = (m.y_axis, p.box_centre[0]) if up else (m.z_axis, p.box_centre[1])
    across = sum(a * b for a, b in zip(off, axis, strict=True)) - centre
    half = (p.width if up else p.height) / 2
    where = "on the centre line" if abs(across) < 0.05 else f"{say(across + half)} up from the lower edge"
    return f"{size} {how}, {where}"


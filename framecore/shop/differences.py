"""What tells two shops apart: pieces that are new, gone or cut otherwise; bars and sheets more or fewer."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from framecore.cutting.model import CutBar, CutPlan
from framecore.cutting.nest_model import SheetPlan
from framecore.shop.model import Bought, Shop, ShopPiece, ShopPlate

Row = ShopPiece | ShopPlate | Bought
SAME = 0.05  # mm: lengths no farther apart are the same


class Kind(StrEnum):
    """How a row of the cut list stands to the other list."""

    SAME = "same"
    NEW = "new"
    CHANGED = "changed"


@dataclass(frozen=True, slots=True, kw_only=True)
class RowChange:
    """One row of the cut list against the row of the other list that its parts are cut or bought under there.

    Attributes
    ----------
    before : that row, None for a new one
    longer : mm, negative where shorter
    more : how many more of it, negative where fewer
    what, size : whether profile or kind, and whether ends, holes or the other sizes differ
    """

    kind: Kind
    before: Row | None = None
    longer: float = 0.0
    more: int = 0
    what: bool = False
    size: bool = False


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class RowChanges:
    """``of``: mark -> change, for every row of the list; ``gone``: rows of the other list of which no part is left."""

    of: dict[str, RowChange]
    gone: tuple[Row, ...]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PlanChange:
    """One cut plan against the other shop's for the same profile; all present less other.

    Attributes
    ----------
    name : profile
    bars, cost, share : more bars, more cost, more of the bars used (0 to 1)
    added : indices of bars that the other plan has not
    dropped : bars that only the other plan has
    """

    name: str
    bars: int
    cost: float
    share: float
    added: frozenset[int]
    dropped: tuple[CutBar, ...]

    @property
    def same(self) -> bool:
        """Whether bars, cost and use are those of the other plan."""
        return not (self.bars or self.added or self.dropped) and abs(self.cost) < 5e-3 and abs(self.share) < 5e-4


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class NestChange:
    """One plan of whole sheets against the other shop's: ``thickness`` mm, more ``sheets``, more ``cost``."""

    thickness: float
    sheets: int
    cost: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class CutChanges:
    """All plans of two shops; those of profiles that are gone stand last.

    ``bars``, ``sheets``, ``cost``, ``share`` are of all plans together, present less other.
    """

    plans: tuple[PlanChange, ...]
    nests: tuple[NestChange, ...]
    bars: int
    sheets: int
    cost: float
    share: float


def row_changes(shop: Shop, other: Shop) -> RowChanges:
    """Compare the rows of two cut lists by the parts they stand for, whatever their marks are."""
    of: dict[str, RowChange] = {}
    gone: list[Row] = []
    for mine, theirs in ((shop.pieces, other.pieces), (shop.plates, other.plates), (shop.bought, other.bought)):
        known = {name: row for row in theirs for name in _parts(row)}
        for row in mine:
            of[row.mark] = _change(row, known)
        left = {name for row in mine for name in _parts(row)}
        gone += [row for row in theirs if not left & set(_parts(row))]
    return RowChanges(of=of, gone=tuple(gone))


def _parts(row: Row) -> tuple[str, ...]:
    if isinstance(row, ShopPiece):
        return row.members
    if isinstance(row, ShopPlate):
        return row.names
    return row.parts or (f"{row.what} {row.where}",)


def count_of(row: Row) -> int:
    """Return how many of a row there are."""
    return row.count if isinstance(row, Bought) else len(_parts(row))


def _length(row: Row) -> float:
    return 0.0 if isinstance(row, Bought) else row.length


def what_of(row: Row) -> str:
    """Return what a row is made of or what it is."""
    if isinstance(row, ShopPiece):
        return row.profile.id
    return row.label if isinstance(row, ShopPlate) else row.what


def _sizes(row: Row) -> tuple[object, ...]:
    """Return what else a row is made to: in tenths of a millimetre, which nobody saws finer."""
    if isinstance(row, ShopPiece):
        return (row.ends, row.holes, round(10 * (row.length - row.short_length)), round(10 * row.chamfer))
    if isinstance(row, ShopPlate):
        return (round(10 * row.width), round(10 * row.thickness), row.holes, row.steel)
    return (row.size,)


def _change(row: Row, known: dict[str, Row]) -> RowChange:
    before = [known[name] for name in _parts(row) if name in known]
    if not before:
        return RowChange(kind=Kind.NEW)
    was = before[0]
    if any(r is not was for r in before):  # parts of several rows there: the row of most of them
        was = max(before, key=lambda r: sum(other is r for other in before))
    longer = _length(row) - _length(was)
    change = RowChange(
        kind=Kind.CHANGED, before=was, longer=longer if abs(longer) > SAME else 0.0, more=count_of(row) - count_of(was),
        what=what_of(row) != what_of(was), size=_sizes(row) != _sizes(was),
    )  # fmt: skip
    if change.longer or change.more or change.what or change.size:
        return change
    return RowChange(kind=Kind.SAME, before=was)


def cut_changes(shop: Shop, other: Shop) -> CutChanges:
    """Compare the cut plans of two shops."""
    mine, theirs = dict(shop.plans), dict(other.plans)
    plans = tuple(_plan(name, mine.get(name), theirs.get(name)) for name in dict.fromkeys([*mine, *theirs]))
    sheets, others = dict(shop.nests), dict(other.nests)
    nests = tuple(_nest(t, sheets.get(t), others.get(t)) for t in dict.fromkeys([*sheets, *others]))
    return CutChanges(
        plans=plans, nests=nests, bars=sum(p.bars for p in plans), sheets=sum(n.sheets for n in nests),
        cost=sum(p.cost for p in plans) + sum(n.cost for n in nests), share=shop.yield_share - other.yield_share,
    )  # fmt: skip


def _plan(name: str, mine: CutPlan | None, theirs: CutPlan | None) -> PlanChange:
    have, had = _bars(mine), _bars(theirs)
    share = (_share(mine) - _share(theirs)) if mine and theirs else 0.0
    return PlanChange(
        name=name, bars=len(have) - len(had), cost=(mine.cost if mine else 0.0) - (theirs.cost if theirs else 0.0),
        share=share, added=frozenset(_beyond(have, had)), dropped=tuple(had[k] for k in _beyond(had, have)),
    )  # fmt: skip


def _bars(plan: CutPlan | None) -> tuple[CutBar, ...]:
    return plan.bars if plan is not None else ()


def _share(plan: CutPlan) -> float:
    return plan.net / plan.gross if plan.gross else 0.0


def _beyond(have: Sequence[CutBar], had: Sequence[CutBar]) -> list[int]:
    """Return the indices of bars that are more than the other plan has of their length; of each length the emptiest."""
    room = Counter((b.bar.length, b.bar.rack) for b in had)
    over = []
    for k in sorted(range(len(have)), key=lambda i: have[i].offcut):
        key = (have[k].bar.length, have[k].bar.rack)
        room[key] -= 1
        if room[key] < 0:
            over.append(k)
    return sorted(over)


def _nest(thickness: float, mine: SheetPlan | None, theirs: SheetPlan | None) -> NestChange:
    return NestChange(
        thickness=thickness, sheets=(len(mine.sheets) if mine else 0) - (len(theirs.sheets) if theirs else 0),
        cost=(mine.cost if mine else 0.0) - (theirs.cost if theirs else 0.0),
    )  # fmt: skip

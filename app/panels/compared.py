"""Words for what differs from the reference: rows of the cut list, cut plans."""

from __future__ import annotations

from app.numbers import length, shown
from app.words import tr
from framecore.shop.differences import CutChanges, Kind, NestChange, PlanChange, RowChange, what_of
from framecore.shop.model import ShopPiece, ShopPlate

PLUS, MINUS = "+", "−"


def signed(mm: float, units: str) -> str:
    """Return a longer or shorter length with its sign."""
    return f"{PLUS if mm > 0 else MINUS}{length(abs(mm), units)}"


def row_words(change: RowChange | None, units: str) -> str:
    """Return how a row of the cut list differs, "" where it does not."""
    if change is None or change.kind is Kind.SAME:
        return ""
    if change.kind is Kind.NEW or change.before is None:
        return tr("new")
    said, before = [], change.before
    if change.what:
        said.append(tr("before: {what}", what=tr(what_of(before))))
    if change.longer:
        said.append(signed(change.longer, units))
    if change.more:
        said.append(_more(change.more))
    if change.size:
        said.append(_size(change, units))
    return ", ".join(said)


def _more(count: int) -> str:
    return tr("{count} more", count=count) if count > 0 else tr("{count} fewer", count=-count)


def _size(change: RowChange, units: str) -> str:
    before = change.before
    if isinstance(before, ShopPiece):
        return tr("other ends or holes")
    if isinstance(before, ShopPlate):
        return tr("before: {what}", what=tr(f"{length(before.width, units)} wide, {length(before.thickness, units)} thick"))
    return tr("before: {what}", what=tr(before.size) if before is not None else "")


def plan_words(change: PlanChange, currency: str) -> str:
    """Return how a cut plan differs, "" where it does not."""
    return "" if change.same else _told(_bars(change.bars), change.cost, change.share, currency)


def nest_words(change: NestChange, currency: str) -> str:
    """Return how a plan of whole sheets differs, "" where it does not."""
    return _told(_sheets(change.sheets), change.cost, 0.0, currency)


def total_words(changes: CutChanges, currency: str) -> str:
    """Return how all plans together differ."""
    counts = ", ".join(t for t in (_bars(changes.bars), _sheets(changes.sheets)) if t)
    told = _told(counts, changes.cost, changes.share, currency)
    if told:
        return tr("To the reference: {change}", change=told)
    moved = any(not p.same for p in changes.plans)
    return tr("To the reference: as many bars, at the same cost") if moved else tr("To the reference: the same bars")


def _told(counts: str, cost: float, share: float, currency: str) -> str:
    said = [counts] if counts else []
    if currency and abs(cost) >= 5e-3:
        said.append(shown(f"{PLUS if cost > 0 else MINUS}{abs(cost):.2f} {currency}"))
    if abs(share) >= 5e-3:
        said.append(tr("{share} % used", share=f"{PLUS if share > 0 else MINUS}{100 * abs(share):.0f}"))
    return ", ".join(said)


def _bars(more: int) -> str:
    if more > 0:
        return tr("1 bar more") if more == 1 else tr("{count} bars more", count=more)
    if more < 0:
        return tr("1 bar fewer") if more == -1 else tr("{count} bars fewer", count=-more)
    return ""


def _sheets(more: int) -> str:
    if more > 0:
        return tr("1 sheet more") if more == 1 else tr("{count} sheets more", count=more)
    if more < 0:
        return tr("1 sheet fewer") if more == -1 else tr("{count} sheets fewer", count=-more)
    return ""

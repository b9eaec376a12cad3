"""What goes to the shop: pieces, the cut plans, the order."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from framecore.catalogue.model import Profile
from framecore.cutting.model import CutPlan
from framecore.seat.turned import SeatParts

if TYPE_CHECKING:
    from framecore.cutting.nest_model import SheetPlan


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ShopPiece:
    """Members that are cut alike: same profile, length, end cuts, holes and chamfer.

    ``mark`` "A1"; ``members`` the names; ``ends`` sentences such as "square" or "mitre 45 deg, long face";
    ``length`` as it is in the finished stand, mm; ``longer`` what is sawn more, because its welds shrink, and ``sawn`` both;
    ``short_length`` shortest fibre (differs from ``length`` where an end is mitred); ``mass`` of one, finished, kg.
    """

    mark: str
    profile: Profile
    length: float
    short_length: float
    members: tuple[str, ...]
    ends: tuple[str, str]
    holes: int
    chamfer: float
    mass: float
    note: str = ""
    longer: float = 0.0

    @property
    def sawn(self) -> float:
        """Length to saw, mm: what the stop is set to and the cut plan lays out."""
        return self.length + self.longer


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ShopPlate:
    """Plates that are alike; sizes in mm, mass of one in kg."""

    mark: str
    label: str
    length: float
    width: float
    thickness: float
    names: tuple[str, ...]
    holes: int
    mass: float
    steel: bool
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderLine:
    """One line of the order: ``count`` of ``what``; ``length`` mm of each bar (0 for plate and feet)."""

    what: str
    detail: str
    count: int
    length: float
    mass: float
    cost: float
    price_assumed: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Bought:
    """One line of what is bought by the piece, not cut from bar or sheet. It has no price: that has to be asked for.

    Attributes
    ----------
    mark : "S1", "S2", ...
    what, size : in words, "holding-down bolt" and "M10 × 100, class 8.8"
    count : pieces
    where : where they go, in words
    parts : names that light up with it: feet and casters of the frame, screws and nuts as the view names them
    note : what a buyer should know; says what is assumed
    """

    what: str
    size: str
    count: int
    where: str
    parts: tuple[str, ...] = ()
    note: str = ""
    mark: str = ""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Shop:
    """Everything the saw and the merchant need.

    ``plans``: one per profile id, in order; ``piece_of``: member or plate name -> mark.
    ``yield_share`` length sawn for pieces over gross length of bars bought. ``bought``: what comes by the piece; ``bought_of``:
    name of a foot, caster, screw or nut -> its mark there; ``seat`` the sizes behind its bolts and screws.
    ``cost`` and ``order_mass`` are of the order alone. ``nests``: thickness in mm and how its plates lie on whole
    sheets; empty where plates come cut to size. ``unbolted``: sentences on what no fastener is bought for, and why.
    """

    pieces: tuple[ShopPiece, ...]
    plates: tuple[ShopPlate, ...]
    plans: tuple[tuple[str, CutPlan], ...]
    order: tuple[OrderLine, ...]
    piece_of: dict[str, str]
    cost: float
    order_mass: float
    yield_share: float
    currency: str
    bought: tuple[Bought, ...] = ()
    bought_of: dict[str, str] = field(default_factory=dict)
    seat: SeatParts | None = None
    nests: tuple[tuple[float, SheetPlan], ...] = ()
    unbolted: tuple[str, ...] = ()

    def plan(self, profile_id: str) -> CutPlan:
        """Return the cut plan of one profile."""
        return dict(self.plans)[profile_id]

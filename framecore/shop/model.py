"""What goes to the shop: pieces, the cut plans, the order."""

from __future__ import annotations

from dataclasses import dataclass

from framecore.catalogue.model import Profile
from framecore.cutting.model import CutPlan


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ShopPiece:
    """Members that are cut alike: same profile, length, end cuts, holes and chamfer.

    ``mark`` "A1"; ``members`` the names; ``ends`` sentences such as "square" or "mitre 45 deg, long face";
    ``short_length`` shortest fibre (differs from ``length`` where an end is mitred); ``mass`` of one, kg.
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


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Shop:
    """Everything the saw and the merchant need.

    ``plans``: one per profile id, in order; ``piece_of``: member or plate name -> mark.
    ``yield_share`` net length over gross length of bars bought.
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

    def plan(self, profile_id: str) -> CutPlan:
        """Return the cut plan of one profile."""
        return dict(self.plans)[profile_id]

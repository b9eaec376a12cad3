"""What goes to the shop: pieces, cut plans, order and cost, what is bought."""

from __future__ import annotations

from framecore.shop.model import Bought, OrderLine, Shop, ShopPiece, ShopPlate
from framecore.shop.order import build_shop

__all__ = ["Bought", "OrderLine", "Shop", "ShopPiece", "ShopPlate", "build_shop"]

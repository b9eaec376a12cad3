"""What goes to the shop: pieces, cut plans, order and cost."""

from __future__ import annotations

from framecore.shop.model import OrderLine, Shop, ShopPiece, ShopPlate
from framecore.shop.order import build_shop

__all__ = ["OrderLine", "Shop", "ShopPiece", "ShopPlate", "build_shop"]

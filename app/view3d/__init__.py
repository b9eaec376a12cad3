"""The stand in three dimensions, and the height beside it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from app.view3d.slider import HeightSlider
    from app.view3d.view import StandView

__all__ = ["HeightSlider", "StandView"]


def __getattr__(name: str) -> Any:
    # The arrays of this package are used without the toolkit; the widgets load when they are asked for.
    if name == "HeightSlider":
        from app.view3d.slider import HeightSlider

        return HeightSlider
    if name == "StandView":
        from app.view3d.view import StandView

        return StandView
    raise AttributeError(name)

"""The stand in the round, and the slider that sets its height.

Widgets are loaded on first use, so that the cameras can be used without the window toolkit.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from app.view3d.slider import HeightSlider
    from app.view3d.view import StandView

__all__ = ["HeightSlider", "StandView"]


def __getattr__(name: str) -> Any:
    if name == "HeightSlider":
        from app.view3d.slider import HeightSlider

        return HeightSlider
    if name == "StandView":
        from app.view3d.view import StandView

        return StandView
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")

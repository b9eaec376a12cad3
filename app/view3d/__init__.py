"""The stand in three dimensions, and the height beside it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from framecore.first_use import at_first_use

if TYPE_CHECKING:
    from app.view3d.slider import HeightSlider
    from app.view3d.view import StandView

__all__ = ["HeightSlider", "StandView"]

# The arrays of this package are used without the toolkit.
__getattr__ = at_first_use(__name__, {"HeightSlider": "app.view3d.slider", "StandView": "app.view3d.view"})

"""Tests of the window run once the core gives whole stands; until then they cannot be collected."""

from __future__ import annotations

try:
    from app.view3d import StandView  # noqa: F401
    from framecore.brief import load_brief  # noqa: F401
    from framecore.stand import evaluate  # noqa: F401
except ImportError:
    collect_ignore = ["app"]

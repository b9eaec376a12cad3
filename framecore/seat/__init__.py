"""The machine's seat: holes that fit, screws that lift, a bed without twist."""

from __future__ import annotations

from framecore.seat.checks import seat_findings

__all__ = ["seat_findings"]

"""The machine's seat: holes that fit, screws that lift, a bed without twist."""

from __future__ import annotations

"""Standwright's core: from a maker's brief to a whole stand.

Axes: x to the operator's right along the machine, y away from the operator, z up; the floor is z = 0 and
the origin lies on the floor under the centre of the top ring. Lengths mm, forces N, stress MPa, mass kg,
angles rad; any other unit is part of the name.

Words: *member* one straight piece; *leg*, *rail*, *ring* (four rails welded as a rectangle), *bearer* (cross
member under the machine's feet), *slat* (shelf member), *pad* (plate under a leg), *foot* (levelling foot),
*seat* (the face the machine stands on), *end cut*, *joint*, *piece* (a cut length with its mark), *bar* (as
sold), *kerf*, *offcut*, *rack* (offcuts on hand), *sway*, *twist*, *work line* (where the hands work).
"""

from __future__ import annotations

import importlib
import os
from typing import TYPE_CHECKING, Any

# Two BLAS threads stall the banded factorisation at about 100 nodes (p95 from 15 to 80 ms); must be set
# before numpy is first imported, and a value chosen by the user is left alone.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
# The reader of briefs has no plug-ins; looking for them reads the metadata of every installed package.
os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")

if TYPE_CHECKING:
    from framecore.brief import load_brief
    from framecore.stand import evaluate

__all__ = ["evaluate", "load_brief"]


_ROOMS = {"evaluate": "framecore.stand", "load_brief": "framecore.brief"}


def __getattr__(name: str) -> Any:
    # The names that scripts start with; loaded on first use, so that a part of the core stays light.
    if name not in _ROOMS:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(importlib.import_module(_ROOMS[name]), name)

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

import os
from typing import TYPE_CHECKING

from framecore.first_use import at_first_use

# Two BLAS threads stall the banded factorisation at about 100 nodes (p95 from 15 to 80 ms); must be set
# before numpy is first imported, and a value chosen by the user is left alone.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

if TYPE_CHECKING:
    from framecore.brief import load_brief
    from framecore.stand import evaluate

__all__ = ["evaluate", "load_brief"]

# The names that scripts start with; a part of the core stays light.
__getattr__ = at_first_use(__name__, {"evaluate": "framecore.stand", "load_brief": "framecore.brief"})

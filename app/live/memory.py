"""Keeps the collector of unused objects from walking over the whole program in the middle of a drag."""

from __future__ import annotations

import gc

# New objects after which the collector looks at the youngest. A picture of a drag makes some thousands that live as long
# as its stand: with the usual 700 the collector takes a tenth of the time and finds next to nothing.
YOUNG = 20_000


def settle() -> None:
    """Set aside what stands for good once the window is there.

    A full collection looks at every object: with the toolkits loaded that is a pause of some 60 ms. What is
    set aside is not looked at again, so later collections see only what came since. Nothing is collected first: what
    the start leaves unused is little, and looking for it would keep the window waiting.
    """
    gc.freeze()
    gc.set_threshold(YOUNG, *gc.get_threshold()[1:])
    gc.enable()

"""Keeps the collector of unused objects from walking over the whole program in the middle of a drag."""

from __future__ import annotations

import gc


def settle() -> None:
    """Set aside what stands for good once the window is there.

    A full collection looks at every object: with the toolkits loaded that is a pause of some 60 ms. What is
    set aside is not looked at again, so later collections see only what came since. Nothing is collected first: what
    the start leaves unused is little, and looking for it would keep the window waiting.
    """
    gc.freeze()
    gc.enable()

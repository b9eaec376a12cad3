"""Options that cannot stand together: learnt from stands that could not be built."""

from __future__ import annotations

from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from framecore.brief.model import Brief
from framecore.errors import CatalogueError, LayoutError, Severity
from framecore.frame import build_frame
from framecore.height import working_height
from framecore.search.space import Space

Option = tuple[int, int]


class Clashes:
    """Single options and pairs of them that give no frame when all else is as at present."""

    def __init__(self, brief: Brief, space: Space) -> None:
        self._brief, self._space = brief, space
        self._fails: dict[tuple[Option, ...], bool] = {}

    def learn(self, place: tuple[int, ...]) -> None:
        """Find out which option or pair of a stand is at fault."""
        away = [(i, k) for i, (k, p) in enumerate(zip(place, self._space.present, strict=True)) if k != p]
        singles = [(one,) for one in away]
        if sum(self._tried(one) for one in singles):
            return
        for pair in combinations(away, 2):
            self._tried(pair)

    def of(self, stands: NDArray[np.intp]) -> NDArray[np.bool_]:
        """Whether each of the stands (k, choices) holds options that clash."""
        out = np.zeros(len(stands), bool)
        for options, fails in self._fails.items():
            if fails:
                out |= np.logical_and.reduce([stands[:, i] == k for i, k in options])
        return out

    def _tried(self, options: tuple[Option, ...]) -> bool:
        if options not in self._fails:
            stand = list(self._space.present)
            for i, k in options:
                stand[i] = k
            brief = self._space.brief_at(self._brief, stand)
            try:
                frame = build_frame(brief, working_height(brief).height)
                self._fails[options] = any(f.severity is Severity.STOP for f in frame.findings)
            except (LayoutError, CatalogueError):
                self._fails[options] = True
        return self._fails[options]

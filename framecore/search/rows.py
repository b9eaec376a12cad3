"""Rows of a family's stands: sums of what single options change, and tables where options act together.

A rail's place depends on the leg it meets and on itself, a leg's length on the rings: most numbers of the analysis model
are sums of what each choice does to them. A sheet's area is a product, a leaning leg's length a root: such numbers are
found on stands built whole in which everything changes at once, and are read off a stand built for just the options they
depend on. That goes on until many such stands, one after another, are as expected.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import NDArray

from framecore.search.kit import Built

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]
Stand = tuple[int, ...]
Build = Callable[[Stand], Built | str]  # a stand built as a row, or why it cannot be
SAME = 1e-9  # relative to the largest there is of a number: less is rounding
_CLEAN, _MOST = 24, 120  # stands drawn at random: so many as expected, one after another, are enough; at most


class Rows:
    """Rows of stands alike in joints and members.

    ``odd``: (choice, option) that change joints or members; ``dropped``: those that give no stand, with the reason;
    ``drift``: largest relative difference of a row from that of a stand built whole, 0 where the last tries found none.
    """

    def __init__(self, build: Build, anchor: Stand, base: Built, free: Sequence[int], counts: Sequence[int]) -> None:
        self.base = base
        self.odd: set[tuple[int, int]] = set()
        self.dropped: dict[tuple[int, int], str] = {}
        self.drift = 0.0
        self._build, self._anchor, self._counts = build, anchor, counts
        self._deltas = {i: np.zeros((counts[i], len(base.row))) for i in free}
        self._tables: list[tuple[list[int], Ints, dict[Stand, Floats]]] = []
        self._breaking: dict[Stand, dict[Stand, bool]] = {}
        self.names = {i: [self._profiles(base)] * counts[i] for i in free}
        for i in free:
            self._vary(i)
        self._good = {
            i: [k for k in range(counts[i]) if (i, k) not in self.odd and (i, k) not in self.dropped] for i in free
        }
        if len(free) > 1:
            self._together()

    @staticmethod
    def _profiles(built: Built) -> list[str]:
        return [m.profile.id for m in built.frame.members]

    def _vary(self, i: int) -> None:
        """Learn what every option of one choice changes."""
        for k in range(self._counts[i]):
            if k == self._anchor[i]:
                continue
            one = self._build(changed(self._anchor, i, k))
            if isinstance(one, str):
                self.dropped[i, k] = one
            elif not one.shape.same(self.base.shape):
                self.odd.add((i, k))
            else:
                self._deltas[i][k] = one.row - self.base.row
                self.names[i][k] = self._profiles(one)

    def _together(self) -> None:
        """Find the numbers that are no sums, and what they depend on."""
        reach = np.abs(self.base.row)
        for delta in self._deltas.values():
            reach = np.maximum(reach, np.abs(self.base.row + delta).max(0))
        self._least = SAME * reach + 1e-12
        self._moved: dict[int, NDArray[np.bool_]] = {}
        for i, delta in self._deltas.items():
            self._moved[i] = np.asarray((np.abs(delta) > self._least).any(0))
        self._crooked = np.zeros(len(reach), bool)
        rng, clean = np.random.default_rng(len(self._good)), 0
        for n in range(_MOST):
            # The two far ends first, then stands drawn at random.
            picked = {i: v[-n] if n < 2 else int(rng.choice(v)) for i, v in self._good.items()}
            off = self._tried(self._with(picked))
            if off is None:
                continue
            clean = clean + 1 if off == 0.0 else 0
            self.drift = max(self.drift, off)
            if clean == _CLEAN:
                self.drift = 0.0  # what was off before is in the tables now
                break

    def _tried(self, stand: Stand) -> float | None:
        """Build a stand whole and learn from what is off: the largest relative difference, None if it cannot be built."""
        known = len(self._breaking)
        row = self._row(stand)
        if row is None:
            return SAME if len(self._breaking) > known else None
        found, alone = self.rows(np.array([stand]))
        if alone:
            return 0.0
        off = np.abs(row - found[0])
        missed: NDArray[np.bool_] = np.asarray(off > self._least)
        if not missed.any():
            return 0.0
        self._crooked |= missed
        for i in self._good:
            # What depends on an option is off by another amount without it.
            other = changed(stand, i, self._anchor[i])
            row = self._row(other) if other != stand else None
            if row is not None:
                here = np.abs(row - self.rows(np.array([other]))[0][0])
                self._moved[i] |= missed & (np.abs(here - off) > self._least)
        self._tabulate()
        return float((off / self._least).max()) * SAME

    def _with(self, options: dict[int, int]) -> Stand:
        return tuple(options.get(i, k) for i, k in enumerate(self._anchor))

    def _row(self, stand: Stand) -> Floats | None:
        """Row of a stand built whole, None where it cannot be built or has other joints or members: that is learnt."""
        one = self._build(stand)
        if isinstance(one, str):
            return None
        if one.shape.same(self.base.shape):
            return one.row
        away = [i for i in self._good if stand[i] != self._anchor[i]]
        if not any(all(i in away for i in choices) and self._breaks(choices, stand) for choices in self._breaking):
            back = [i for i in away if self._alike(changed(stand, i, self._anchor[i]))]
            choices = tuple(back or away)  # those that bring the joints back when they go
            if choices in self._breaking:
                choices = tuple(away)  # they do not tell it alone
            self._breaking.setdefault(choices, {})
        return None

    def _alike(self, stand: Stand) -> bool:
        one = self._build(stand)
        return isinstance(one, str) or one.shape.same(self.base.shape)

    def _breaks(self, choices: Stand, stand: Stand) -> bool:
        """Whether the options of a stand for these choices change the joints when all else is as in the anchor."""
        table, key = self._breaking[choices], tuple(stand[i] for i in choices)
        if key not in table:
            table[key] = not self._alike(self._with(dict(zip(choices, key, strict=True))))
        return table[key]

    def breaking(self, stand: Stand) -> Stand:
        """Return the anchor with those options of a stand that change its joints together, the anchor itself where none do."""
        options: dict[int, int] = {}
        for choices in self._breaking:
            if self._breaks(choices, stand):
                options |= {i: stand[i] for i in choices}
        return self._with(options)

    def _tabulate(self) -> None:
        """Make a table for every set of choices that some numbers depend on together."""
        where = np.flatnonzero(self._crooked)
        keys = list(self._moved)
        sets = np.array([self._moved[i][where] for i in keys]).T
        self._tables = []
        for kind in dict.fromkeys(map(tuple, sets.tolist())):
            alike: NDArray[np.bool_] = np.asarray(sets == np.array(kind))
            at = where[alike.all(1)]
            self._tables.append(([i for i, on in zip(keys, kind, strict=True) if on], at, {}))

    def _sums(self, stands: NDArray[np.intp]) -> Floats:
        out = np.repeat(self.base.row[None], len(stands), 0)
        for i, delta in self._deltas.items():
            out += delta[stands[:, i]]
        return out

    def rows(self, stands: NDArray[np.intp]) -> tuple[Floats, list[int]]:
        """Return the rows (k, d) of stands (k, choices), and which of them must be built whole instead."""
        out = self._sums(stands)
        alone: set[int] = set()
        for choices in self._breaking:
            alone.update(n for n, stand in enumerate(stands.tolist()) if self._breaks(choices, stand))
        for together, at, table in self._tables:
            keys = [tuple(k) for k in stands[:, together].tolist()]
            for key in dict.fromkeys(keys):
                if key not in table:
                    one = self._build(self._with(dict(zip(together, key, strict=True))))
                    fits = not isinstance(one, str) and one.shape.same(self.base.shape)
                    table[key] = one.row[at] if not isinstance(one, str) and fits else np.full(len(at), np.nan)
            values = np.array([table[key] for key in keys])
            out[:, at] = values
            alone.update(np.flatnonzero(np.isnan(values).any(1)).tolist())
        return out, sorted(alone)


def changed(stand: Stand, choice: int, option: int) -> Stand:
    """Return the stand with one option changed."""
    return (*stand[:choice], option, *stand[choice + 1 :])

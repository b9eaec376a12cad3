"""Hexagon nuts and bolts as sold: heights, widths, lengths, length of thread; and the tolerances of bores."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

from framecore.catalogue import thread as find_thread
from framecore.catalogue.model import Thread

# Greatest height by thread, mm. ISO 4032 (nut), ISO 4035 (thin nut); nominal head ISO 4014 and 4017. From memory.
_NUTS = {6.0: 5.2, 8.0: 6.8, 10.0: 8.4, 12.0: 10.8, 14.0: 12.8, 16.0: 14.8, 18.0: 15.8, 20.0: 18.0}
_THIN_NUTS = {6.0: 3.2, 8.0: 4.0, 10.0: 5.0, 12.0: 6.0, 14.0: 7.0, 16.0: 8.0, 18.0: 9.0, 20.0: 10.0}
_HEADS = {6.0: 4.0, 8.0: 5.3, 10.0: 6.4, 12.0: 7.5, 14.0: 8.8, 16.0: 10.0, 18.0: 11.5, 20.0: 12.5}
# Nominal heights in inches by thread: nut and jam nut ASME B18.2.2, head ASME B18.2.1. From memory.
_INCH_NUTS = {0.25: 7 / 32, 0.3125: 17 / 64, 0.375: 21 / 64, 0.4375: 3 / 8, 0.5: 7 / 16, 0.625: 35 / 64, 0.75: 41 / 64}
_INCH_THIN = {0.25: 5 / 32, 0.3125: 3 / 16, 0.375: 7 / 32, 0.4375: 1 / 4, 0.5: 5 / 16, 0.625: 3 / 8, 0.75: 27 / 64}
_INCH_HEADS = {0.25: 5 / 32, 0.3125: 13 / 64, 0.375: 15 / 64, 0.4375: 9 / 32, 0.5: 5 / 16, 0.625: 25 / 64, 0.75: 15 / 32}
# Bolt lengths as sold, mm (ISO 888) and inches (common practice: quarters, above six inches halves).
_LENGTHS = (*range(20, 70, 5), 70, *range(80, 170, 10), *range(180, 520, 20))
_INCH_LENGTHS = (*(k / 4 for k in range(3, 25)), *(k / 2 for k in range(13, 41)))
# Widths across flats of spanners, mm (ISO 272), and inches (common practice).
_SPANNERS = (4.0, 5.0, 5.5, 7.0, 8.0, 10.0, 13.0, 16.0, 18.0, 21.0, 24.0, 27.0, 30.0)
_INCH_SPANNERS = tuple(k / 16 for k in range(3, 17))
# Tolerance of a clearance hole by series, mm above its size: H12, H13, H14 (ISO 273, ISO 286-2), from memory.
_BORES = (
    (6.0, {"fine": 0.12, "medium": 0.18, "coarse": 0.30}), (10.0, {"fine": 0.15, "medium": 0.22, "coarse": 0.36}),
    (18.0, {"fine": 0.18, "medium": 0.27, "coarse": 0.43}), (30.0, {"fine": 0.21, "medium": 0.33, "coarse": 0.52}),
)  # fmt: skip
INCH = 25.4


@dataclass(frozen=True, slots=True, kw_only=True)
class Hexagon:
    """A nut or a bolt's head: ``height`` and ``across_flats`` mm, ``standard`` it is bought by, ``source`` of the size."""

    height: float
    across_flats: float
    standard: str
    source: str

    @property
    def across_corners(self) -> float:
        """Width over the corners, mm."""
        return self.across_flats / math.cos(math.pi / 6)


def _hexagon(
    thread: Thread, metric: dict[float, float], inch: dict[float, float], names: tuple[str, str], share: float
) -> Hexagon:
    if thread.system == "metric":
        found, standard = metric.get(thread.diameter), names[0]
    else:
        size = inch.get(round(thread.diameter / INCH, 4))
        found, standard = None if size is None else size * INCH, names[1]
    source = f"{standard}, from memory" if found is not None else f"common practice: {share:g} of the thread"
    return Hexagon(
        height=found if found is not None else share * thread.diameter, across_flats=thread.across_flats, standard=standard,
        source=source,
    )  # fmt: skip


@lru_cache(maxsize=64)
def full_nut(thread_id: str) -> Hexagon:
    """Return the plain nut of a thread. Source: ISO 4032; ASME B18.2.2 hex nut."""
    return _hexagon(find_thread(thread_id), _NUTS, _INCH_NUTS, ("ISO 4032", "ASME B18.2.2"), 0.9)


@lru_cache(maxsize=64)
def thin_nut(thread_id: str) -> Hexagon:
    """Return the lock nut of a thread. Source: ISO 4035; ASME B18.2.2 hex jam nut."""
    return _hexagon(find_thread(thread_id), _THIN_NUTS, _INCH_THIN, ("ISO 4035", "ASME B18.2.2 jam nut"), 0.5)


@lru_cache(maxsize=64)
def bolt_head(thread_id: str) -> Hexagon:
    """Return the head of a hexagon bolt. Source: ISO 4014, 4017; ASME B18.2.1."""
    return _hexagon(find_thread(thread_id), _HEADS, _INCH_HEADS, ("ISO 4017", "ASME B18.2.1"), 0.65)


def sold_length(thread: Thread, needed: float) -> float:
    """Return the shortest bolt as sold that is at least ``needed`` mm long under its head; above the lists ``needed`` up."""
    series = [float(n) for n in _LENGTHS] if thread.system == "metric" else [n * INCH for n in _INCH_LENGTHS]
    step = 20.0 if thread.system == "metric" else INCH / 2
    return next((n for n in series if n >= needed - 1e-6), step * math.ceil(needed / step - 1e-9))


def thread_length(thread: Thread, length: float) -> float:
    """Return the length of thread on a bolt with a shank, mm.

    Source: ISO 4014, 2 d + 6 up to 125 mm, + 12 up to 200, + 25 above; ASME B18.2.1, 2 d + 1/4 in up to 6 in, + 1/2 in above.
    """
    if thread.system == "metric":
        more = 6.0 if length <= 125.0 + 1e-9 else 12.0 if length <= 200.0 + 1e-9 else 25.0
    else:
        more = INCH / 4 if length <= 6 * INCH + 1e-9 else INCH / 2
    return min(2 * thread.diameter + more, length)


def spanner_within(width: float, system: str) -> float:
    """Return the largest spanner that is at most ``width`` mm across its flats; the smallest where none is."""
    sizes = _SPANNERS if system == "metric" else tuple(k * INCH for k in _INCH_SPANNERS)
    return max((s for s in sizes if s <= width + 1e-9), default=sizes[0])


def bore_over(bore: float, hole_class: str) -> float:
    """Return how much wider than its size a clearance hole may be, mm. Source: ISO 273 with ISO 286-2, H12, H13, H14."""
    return next((t[hole_class] for most, t in _BORES if bore <= most), _BORES[-1][1][hole_class])

"""Natural frequencies and shapes."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from framecore.fem.assembled import Assembled
from framecore.fem.krylov import largest, random_block
from framecore.fem.model import Floats

_TOLERANCE = 1e-4  # residual share; the eigenvalue's error is about its square
_MAX_STEPS = 24
_STIR = 1e-2  # random part mixed into a warm start, so that no new shape can stay hidden


@dataclass(frozen=True, eq=False)
class Modes:
    """The lowest natural modes.

    Attributes
    ----------
    frequencies_hz : (k,) ascending; fewer than asked for when the mass allows no more
    shapes : (n, 6, k), scaled to unit modal mass (1 t), largest component positive
    start : what to hand to the next ``modes`` of a frame with the same nodes
    """

    frequencies_hz: Floats
    shapes: Floats
    start: Floats


def modes(assembled: Assembled, count: int = 6, start: Floats | None = None) -> Modes:
    """Find the ``count`` lowest modes.

    A ``start`` from a similar frame (``Modes.start``) saves steps; one that does not fit is not used.
    """
    mass, topology = assembled.mass, assembled.topology
    size = mass.shape[0]
    noise = random_block(size, count)
    warm = start is not None and start.shape[:2] == (topology.n_nodes, 6) and start.shape[2] >= count
    if warm:
        assert start is not None
        right = mass @ topology.inward(start[:, :, :count])
        stir = mass @ noise
        right += stir * (_STIR * np.linalg.norm(right, axis=0) / (np.linalg.norm(stir, axis=0) + 1e-300))
    else:
        right = mass @ assembled.solve_banded(mass @ noise)
    mu, vectors = largest(
        mass, assembled.solve_banded, right, count,
        tolerance=_TOLERANCE, max_steps=_MAX_STEPS, first_check=2 if warm else 4,
    )  # fmt: skip
    real = mu > 1e-14 * mu.max(initial=0.0)
    mu, vectors = mu[real], vectors[:, real]
    shapes = topology.outward(vectors / np.sqrt(mu))
    flat = shapes.reshape(-1, len(mu))
    if flat.size:
        flat = flat * np.sign(flat[np.abs(flat).argmax(0), np.arange(len(mu))])
    shapes = flat.reshape(topology.n_nodes, 6, -1)
    return Modes(1.0 / (2.0 * np.pi * np.sqrt(mu)), shapes, shapes)

"""Hand-made meshes for the tests."""

import numpy as np

CORNERS = np.array([(x, y, z) for z in (0, 1) for y in (0, 1) for x in (0, 1)], dtype=float)
FACES = np.array(
    [
        (0, 2, 3), (0, 3, 1), (4, 5, 7), (4, 7, 6), (0, 1, 5), (0, 5, 4),
        (2, 6, 7), (2, 7, 3), (0, 4, 6), (0, 6, 2), (1, 3, 7), (1, 7, 5),
    ],
    dtype=np.int32,
)  # fmt: skip
EDGES = np.array(
    [(0, 1), (2, 3), (4, 5), (6, 7), (0, 2), (1, 3), (4, 6), (5, 7), (0, 4), (1, 5), (2, 6), (3, 7)],
    dtype=np.int32,
)


def boxes(*spans):
    """Merge boxes, each ((x0, y0, z0), (x1, y1, z1)), into vertices, faces, edges."""
    v, f, e = [], [], []
    for i, (low, high) in enumerate(spans):
        low, high = np.asarray(low, float), np.asarray(high, float)
        v.append(low + CORNERS * (high - low))
        f.append(FACES + 8 * i)
        e.append(EDGES + 8 * i)
    return np.vstack(v), np.vstack(f).astype(np.int32), np.vstack(e).astype(np.int32)

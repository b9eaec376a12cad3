"""Finite elements for 3D frames: arrays in, arrays out.

Units: mm, N, MPa, tonne, s (density in t/mm3). Set ``OPENBLAS_NUM_THREADS=1`` before numpy is imported: the
banded factorisation of small matrices stalls on several threads.

>>> built = assemble(model)                              # doctest: +SKIP
>>> weight, fixed_end = gravity(model)                   # doctest: +SKIP
>>> u = built.solve(weight[:, :, None])                  # doctest: +SKIP
>>> forces = built.end_forces(u, fixed_end)              # doctest: +SKIP
"""

from framecore.fem.assembled import DIRECTIONS, Assembled, assemble
from framecore.fem.buckling import buckling, buckling_bound, buckling_envelope
from framecore.fem.contact import Contact, contact
from framecore.fem.gravity import STANDARD_GRAVITY, gravity
from framecore.fem.lemke import lemke
from framecore.fem.model import FrameModel
from framecore.fem.modes import Modes, modes
from framecore.fem.topology import Topology

__all__ = [
    "DIRECTIONS",
    "STANDARD_GRAVITY",
    "Assembled",
    "Contact",
    "FrameModel",
    "Modes",
    "Topology",
    "assemble",
    "buckling",
    "buckling_bound",
    "buckling_envelope",
    "contact",
    "gravity",
    "lemke",
    "modes",
]

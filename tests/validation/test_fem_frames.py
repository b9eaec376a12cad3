"""Space frame of Logan, A First Course in the Finite Element Method, 4th ed., Example 5.8.

Printed displacements of node 1 as given in an example of the open PyNite project (the book itself was not at
hand). Units in and kip as in the book: the package only needs consistent ones.
"""

import numpy as np

from framecore.fem import FrameModel, assemble
from tests.unit.fem.frames import axes_along, held
from tests.validation.published import half_last_digit
from tests.validation.record import agree

# node 1: UX, UY, UZ in in; RX, RY, RZ in rad, as printed
PRINTED = ("7.098e-5", "-0.014", "-2.352e-3", "-3.996e-3", "1.78e-5", "-1.033e-4")


def test_example_5_8():
    nodes = np.array([[0.0, 0.0, 0.0], [-100.0, 0.0, 0.0], [0.0, 0.0, -100.0], [0.0, -100.0, 0.0]])
    elements = np.array([[1, 0], [2, 0], [3, 0]])
    model = FrameModel(
        nodes=nodes, elements=elements, axes=axes_along(nodes[elements[:, 1]] - nodes[elements[:, 0]]),
        area=10.0, i_y=100.0, i_z=100.0, j=50.0, e=30000.0, g=10000.0, **held([1, 2, 3], [range(6)] * 3),
    )  # fmt: skip
    loads = np.zeros((4, 6, 1))
    loads[0, [1, 3], 0] = -50.0, -1000.0  # 50 kip down, 1000 kip in about x
    got = assemble(model).solve(loads)[0, :, 0]
    for value, printed in zip(got, PRINTED, strict=True):
        agree(value, float(printed), rel=0, abs=half_last_digit(printed) * (1 + 1e-9))

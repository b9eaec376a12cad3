"""The lower ring within wrapped angle legs, whole or with its front rail set back."""

from __future__ import annotations

import math
from collections.abc import Iterator

from framecore.frame._build import box_bar
from framecore.frame._posts import Posts, branch_fit, front_joint, joint_name
from framecore.frame._ring import ACROSS_Y, UP, rail_along, whole_ring
from framecore.frame.fitup import angle_root
from framecore.frame.model import Joint, Member, Role

_H = 1 / math.sqrt(2)


def angle_ring(p: Posts, *, mitred: bool) -> tuple[Member, ...]:
    """Return the four lower rails; a set-back front rail stands between end rails that reach the front legs."""
    if not p.toe:
        return whole_ring("lower rail", Role.LOWER_RAIL, p.rail, p.length, p.depth, p.level, mitred=mitred)
    w, x, y = p.rail.width, p.length / 2, p.depth / 2
    m = w / 2
    z = p.level - p.rail.height / 2

    def end_rail(side: str, sign: int) -> Member:
        at = sign * (x - m)
        return box_bar(
            f"lower rail {side}", Role.LOWER_RAIL, p.rail, start=(at, -y, z), end=(at, y - m if mitred else y - w, z),
            y_axis=ACROSS_Y, z_axis=UP, end_normal=(-sign * _H, _H, 0.0) if mitred else None,
        )  # fmt: skip

    back = (-x + m, x - m, -1) if mitred else (-x, x, 0)
    return (
        rail_along("lower rail front", Role.LOWER_RAIL, p.rail, -x + w, x - w, p.front_rail_y, p.level),
        rail_along("lower rail back", Role.LOWER_RAIL, p.rail, back[0], back[1], y - m, p.level, back[2]),
        end_rail("left", -1), end_rail("right", 1),
    )  # fmt: skip


def angle_ring_joints(p: Posts, legs: dict[str, tuple[float, float]], root: float) -> Iterator[Joint]:
    """Joints of that ring: in the roots of the legs at x, y, and of a set-back front rail with the end rails."""
    z = p.level - p.rail.height / 2
    for corner, (x, y) in legs.items():
        along = "front" if corner[0] == "F" else "back"
        rails = () if p.toe and along == "front" else (f"lower rail {along}",)
        yield Joint(
            name=joint_name("lower rail", corner), kind="ring in angle", point=(x, y, z),
            members=(f"leg {corner}", *rails, f"lower rail {'left' if corner[1] == 'L' else 'right'}"),
            fit_ups=(angle_root(0.0, root),),
        )  # fmt: skip
    if not p.toe:
        return
    for k, (side, sign) in enumerate((("left", -1), ("right", 1))):
        yield Joint(
            name=front_joint(p, k), kind="rail on rail", members=(f"lower rail {side}", "lower rail front"),
            point=(sign * (p.length - p.rail.width) / 2, p.front_rail_y, z),
            fit_ups=branch_fit(p.brief, p.rail, p.rail, p.rail.height, p.rail.height),
        )  # fmt: skip

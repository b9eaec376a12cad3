"""Tubes as printed in a worked example, for checks of sections the catalogue does not hold."""

from __future__ import annotations

from framecore.strength._code_section import CodeSection


def tube(
    *, area: float, i_u: float, i_v: float, el_u: float, el_v: float, pl_u: float, pl_v: float, wall: float,
    height: float, width: float, hot: bool = False, round_: bool = False, torsion_c: float = 1.0,
) -> CodeSection:  # fmt: skip
    """A tube by its printed numbers in mm, u across the width."""
    return CodeSection(
        area=area, i_u=i_u, i_v=i_v, j=i_u, i_w=0.0, w_t=torsion_c, el_u=el_u, el_v=el_v, pl_u=pl_u, pl_v=pl_v,
        av_u=area / 2, av_v=area / 2, torsion_c=torsion_c, polar=(i_u + i_v) / area, h=1.0, couples=False, beta=0.0,
        box=not round_, round_=round_, angle=False, bar=False, channel=False, hot=hot, wall=wall,
        long=max(height, width), short=min(height, width),
        lean_y=(width if round_ else width - 3 * wall) / wall, lean_z=(height if round_ else height - 3 * wall) / wall,
        u_is_y=True,
    )  # fmt: skip

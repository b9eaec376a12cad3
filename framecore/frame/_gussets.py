"""Gussets of a column: triangular plates between it and its base and head."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from framecore.catalogue import steel as find_steel
from framecore.frame._braces import GUSSET_SHARE, SNIP
from framecore.frame.draft import Draft
from framecore.frame.model import Joint, Plate, Plated, PlateRole, Vector

if TYPE_CHECKING:
    from framecore.frame.column import ColumnMeasures

_SIDES: tuple[tuple[str, Vector], ...] = (
    ("front", (0.0, -1.0, 0.0)), ("back", (0.0, 1.0, 0.0)), ("left", (-1.0, 0.0, 0.0)), ("right", (1.0, 0.0, 0.0)),
)  # fmt: skip


def add_gussets(d: Draft, m: ColumnMeasures) -> None:
    """Add a gusset under the head and on the base at each side of the column that asks for them."""
    for side, out in _SIDES:
        if getattr(m.brief.braces, side) != "gussets":
            continue
        face = (m.column.width if out[0] else m.column.height) / 2
        _add_plate(d, m, f"gusset head {side}", out, face, m.top, -1.0)
        if m.cross and not out[0]:
            continue  # the spine runs to left and right: there is nothing under a gusset at front or back
        _add_plate(d, m, f"gusset base {side}", out, face, m.bottom, 1.0)
        if m.cross:
            _add_strut(d, m, side, out, face)


def _add_plate(
    d: Draft, m: ColumnMeasures, name: str, out: Vector, face: float, level: float, up: float
) -> None:
    g, t = m.brief.braces.gusset, m.brief.braces.gusset_thickness
    # Outline in (out, z), its thickness across; u x v must point along the thickness.
    across: Vector = (out[1], -out[0], 0.0)  # out x up
    snip = min(max(SNIP, 2 * d.brief.welding.leg), g / 3)
    corners = [(face + snip, 0.0), (face + g, 0.0), (face, up * g), (face, up * snip)]
    if up < 0:
        corners.reverse()
    d.plates.append(
        Plate(name=name, role=PlateRole.GUSSET, thickness=t, outline=np.array(corners),
              origin=(-across[0] * t / 2, -across[1] * t / 2, level), u_axis=out, v_axis=(0.0, 0.0, 1.0),
              density=find_steel(d.brief.steel.grade).density,
              on=("column head",) if up < 0 else ("column foot",))
    )  # fmt: skip


def _add_strut(d: Draft, m: ColumnMeasures, side: str, out: Vector, face: float) -> None:
    g = m.brief.braces.gusset
    low, high = f"gusset {side} on spine", "gussets on column"
    d.joints.append(
        Joint(name=low, kind="gusset", members=("base spine",),
              point=(out[0] * (face + g), 0.0, m.bar_top - m.base.height / 2))
    )  # fmt: skip
    if all(j.name != high for j in d.joints):
        d.joints.append(Joint(name=high, kind="gusset", members=("column",), point=(0.0, 0.0, m.bottom + g)))
    d.plated.append(
        Plated(kind="gusset", plate=f"gusset base {side}", ends=(low, high), width=GUSSET_SHARE * g,
               thickness=m.brief.braces.gusset_thickness)
    )  # fmt: skip

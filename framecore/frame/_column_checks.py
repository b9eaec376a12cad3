"""Impossible and doubtful columns: each rule one finding with its cure."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from framecore.catalogue import steel_of
from framecore.catalogue import thread as find_thread
from framecore.catalogue.model import Shape
from framecore.errors import Finding, Severity
from framecore.frame.slotted import SlotCut
from framecore.units import KILOGRAM_FORCE

if TYPE_CHECKING:
    from framecore.frame.column import ColumnMeasures

_BOX = (Shape.SQUARE_TUBE, Shape.RECT_TUBE)
# A head plate that reaches past the column more than this many thicknesses is a springboard (common practice).
SPRINGBOARD = 12.0
LEAST_COLUMN = 100.0
WASHER = 2.2  # outside of a washer or nut in bolt diameters


def column_findings(m: ColumnMeasures) -> tuple[Finding, ...]:
    """Return everything that makes this column impossible or doubtful."""
    return (*_shapes(m), *_levels(m), *_base(m), *_holes(m), *_head(m), *_gussets(m), *_unused(m))


def _shapes(m: ColumnMeasures) -> Iterator[Finding]:
    if not m.column.closed:
        yield Finding(
            code="column.shape", field="frame.sections.column", member="column",
            message=(
                f"The column is closed tube, but {m.column.id} is a {m.column.shape}; an open section twists under the "
                f"first cut, so take tube such as SHS 100x100x4."
            ),
            allowed="square, rectangular or round tube", nearest="SHS 100x100x4",
        )  # fmt: skip
    if m.cross and m.base.shape not in _BOX:
        yield Finding(
            code="column.base_shape", field="frame.sections.base", member="base spine",
            message=(
                f"The base is square or rectangular tube, but {m.base.id} is a {m.base.shape}; the spine is held "
                f"against twist by closed tube alone."
            ),
            allowed="square or rectangular tube", nearest="SHS 60x60x4",
        )  # fmt: skip


def _levels(m: ColumnMeasures) -> Iterator[Finding]:
    if m.top - m.bottom < LEAST_COLUMN:
        need = m.seat + LEAST_COLUMN - (m.top - m.bottom)
        yield Finding(
            code="column.too_low", field="frame.height", member="column",
            message=(
                f"A seat {m.seat:.0f} mm high leaves {max(m.top - m.bottom, 0.0):.0f} mm of column between base and head; "
                f"at least {need:.0f} mm is needed with this base."
            ),
            allowed=f"at least {need:.0f} mm", nearest=f"{need:.0f} mm",
        )  # fmt: skip


def _base(m: ColumnMeasures) -> Iterator[Finding]:
    f, feet = m.brief.frame, m.brief.feet
    long, deep = m.foot_plate
    if m.cross:
        needs = {"length": (max(2 * m.base.width + long, feet.pad + m.base.width + 10.0), "runners and foot plate"),
                 "depth": (max(deep, 2 * feet.pad + 10.0), "foot plate and pads")}  # fmt: skip
        land = m.base.width + 2 * m.brief.welding.leg
        if feet.pad < land - 1e-9:
            yield Finding(
                code="frame.pad_small", field="feet.pad", member="pad FL", severity=Severity.LOOK,
                message=(
                    f"A {feet.pad:.0f} mm pad leaves no land for the {m.brief.welding.leg:g} mm fillet beside the "
                    f"{m.base.id} runner; make it at least {land:.0f} mm."
                ),
                allowed=f"at least {land:.0f} mm", nearest=f"{land:.0f} mm",
            )  # fmt: skip
        elif feet.pad > 2 * m.base.width:
            yield Finding(
                code="column.pad_large", field="feet.pad", member="pad FL", severity=Severity.LOOK,
                message=(
                    f"A {feet.pad:.0f} mm pad is more than twice as wide as the {m.base.id} runner it is welded to, and "
                    f"its free edges catch shoes; take {land:.0f} to {2 * m.base.width:.0f} mm."
                ),
                allowed=f"{land:.0f} to {2 * m.base.width:.0f} mm", nearest=f"{land:.0f} mm",
            )  # fmt: skip
    else:
        past = m.land
        x, y = m.column.width + 2 * past + 4 * m.inset, m.column.height + 2 * past + 4 * m.inset
        needs = {"length": (x, "column and feet"), "depth": (y, "column and feet")}
    for key, (need, what) in needs.items():
        size = float(getattr(f, key))
        if size < need - 1e-9:
            yield Finding(
                code="column.base_small", field=f"frame.{key}", member="base spine" if m.cross else "base plate",
                message=(
                    f"A base of {size:.0f} mm {key} has no room for {what} beside each other; "
                    f"at least {need:.0f} mm is needed."
                ),
                allowed=f"at least {need:.0f} mm", nearest=f"{need:.0f} mm",
            )  # fmt: skip
    if m.cross or not m.points:
        return
    # Half the weight and its blow on one foot: a strip as wide as it is long (see strip_width) bends to 6 P / t^2.
    load = m.brief.limits.impact * m.brief.machine.mass * KILOGRAM_FORCE / 2
    most = steel_of(m.brief.steel.grade, tube=False).fy / m.brief.limits.yield_margin
    if 6 * load / m.thickness**2 > most:
        need = (6 * load / most) ** 0.5
        yield Finding(
            code="column.plate_thin", field="frame.base_thickness", member="base plate", severity=Severity.LOOK,
            message=(
                f"With half the weight and its blow ({load:.0f} N) on one foot the {m.thickness:g} mm base plate bends to "
                f"{6 * load / m.thickness**2:.0f} MPa; at least {need:.1f} mm keeps it under {most:.0f} MPa."
            ),
            allowed=f"at least {need:.1f} mm", nearest=f"{need:.0f} mm",
        )  # fmt: skip


def _holes(m: ColumnMeasures) -> Iterator[Finding]:
    """Bolts need a spanner from below: none may come down on the column or a gusset, nor stand outside the feet."""
    radius = WASHER / 2 * find_thread(m.brief.machine.bolt).diameter
    a, b = m.column.width / 2 + radius, m.column.height / 2 + radius
    fx, fy = m.foot_at
    for k, ((x, y), cut) in enumerate(zip(m.points, m.cuts, strict=True), 1):
        over = [p for p in _nuts(x, y, cut) if abs(p[0]) < a and abs(p[1]) < b]
        if over:
            u, v = over[0]
            yield Finding(
                code="column.hole_over_column", field="frame.sections.column", member="head plate",
                message=(
                    f"Hole {k} comes down on the column or so near that no spanner turns beneath; take a column narrower "
                    f"than {2 * max(abs(u) - radius, abs(v) - radius, 0.0):.0f} mm, or move the machine."
                ),
                allowed=f"nut {radius:.0f} mm clear of the column",
            )  # fmt: skip
        for axis, at, foot in (("length", abs(x), fx), ("depth", abs(y), fy)):
            if at > foot + 1e-9:
                need = float(getattr(m.brief.frame, axis)) + 2 * (at - foot)
                yield Finding(
                    code="column.base_smaller_than_head", field=f"frame.{axis}", member="head plate",
                    message=(
                        f"Hole {k} lies {at - foot:.0f} mm outside the feet: the machine would stand past its own base; "
                        f"make the base at least {need:.0f} mm in {axis}."
                    ),
                    allowed=f"at least {need:.0f} mm", nearest=f"{need:.0f} mm",
                )  # fmt: skip


def _head(m: ColumnMeasures) -> Iterator[Finding]:
    x0, x1, y0, y1 = m.head
    f = m.brief.frame
    for key, size, whole in (("length", x1 - x0, f.length), ("depth", y1 - y0, f.depth)):
        if size > whole + 1e-9:
            yield Finding(
                code="column.head_past_base", field=f"frame.{key}", member="head plate", severity=Severity.LOOK,
                message=(
                    f"The head plate is {size:.0f} mm in {key}, the base only {whole:.0f} mm; make the base at least as "
                    f"large, or it tips before the machine does."
                ),
                allowed=f"at least {size:.0f} mm", nearest=f"{size:.0f} mm",
            )  # fmt: skip
    if m.gussets or not m.points:
        return
    past = max(max(abs(x) - m.column.width / 2, abs(y) - m.column.height / 2) for x, y in m.points)
    if past > SPRINGBOARD * m.thickness:
        yield Finding(
            code="column.thin_for_holes", field="frame.sections.column", member="head plate", severity=Severity.LOOK,
            message=(
                f"The machine's bolts stand {past:.0f} mm past a column {m.column.width:.0f} mm wide, on a plate of "
                f"{m.thickness:g} mm: it gives like a springboard; take a wider column, a plate of "
                f"{past / SPRINGBOARD:.0f} mm, or gussets."
            ),
            allowed=f"at most {SPRINGBOARD * m.thickness:.0f} mm past the column",
            nearest=f"{past / SPRINGBOARD:.0f} mm plate",
        )  # fmt: skip


def _gussets(m: ColumnMeasures) -> Iterator[Finding]:
    braces, f = m.brief.braces, m.brief.frame
    if not m.gussets:
        return
    g, t = braces.gusset, braces.gusset_thickness
    if 2 * g > m.top - m.bottom:
        yield Finding(
            code="column.gusset_long", field="braces.gusset", member="column",
            message=(
                f"Gussets of {g:.0f} mm at base and head meet on a column of {m.top - m.bottom:.0f} mm; "
                f"take {(m.top - m.bottom) / 2:.0f} mm or less."
            ),
            allowed=f"at most {(m.top - m.bottom) / 2:.0f} mm", nearest=f"{(m.top - m.bottom) / 3:.0f} mm",
        )  # fmt: skip
    for key, own, sides in (("length", m.column.width, ("left", "right")), ("depth", m.column.height, ("front", "back"))):
        wanted = [s for s in sides if getattr(braces, s) == "gussets"]
        if not m.cross and wanted and own + 2 * g > float(getattr(f, key)):
            need = own + 2 * g
            yield Finding(
                code="column.gusset_past_plate", field="braces.gusset", member="base plate",
                message=(
                    f"Gussets of {g:.0f} mm reach past the edge of the base plate; "
                    f"make it at least {need:.0f} mm in {key}, or take shorter gussets."
                ),
                allowed=f"at most {(float(getattr(f, key)) - own) / 2:.0f} mm",
                nearest=f"{(float(getattr(f, key)) - own) / 2:.0f} mm",
            )  # fmt: skip
        if m.cross and wanted and key == "depth":
            yield Finding(
                code="column.gusset_nowhere", field=f"braces.{wanted[0]}", severity=Severity.LOOK, member="base spine",
                message=(
                    "The spine of this base runs to the left and right, so gussets at front and back hold the head alone; "
                    "for gussets all round at the foot take a base plate."
                ),
                allowed="gussets left and right, or a base plate", nearest="plate",
            )  # fmt: skip
    clear = WASHER / 2 * find_thread(m.brief.machine.bolt).diameter + t / 2
    for k, ((x, y), cut) in enumerate(zip(m.points, m.cuts, strict=True), 1):
        nuts = _nuts(x, y, cut)
        for side, i, way in (("front", 1, -1), ("back", 1, 1), ("left", 0, -1), ("right", 0, 1)):
            face = (m.column.width if side in ("left", "right") else m.column.height) / 2
            over = [p for p in nuts if face < way * p[i] < face + g and abs(p[1 - i]) < clear]
            if getattr(braces, side) == "gussets" and over:
                across = min(abs(p[1 - i]) for p in over)
                yield Finding(
                    code="column.hole_over_gusset", field=f"braces.{side}", member=f"gusset head {side}",
                    message=(
                        f"Hole {k} comes down on the gusset at the {side}, where no nut goes on; "
                        f"leave that gusset out or move the machine {clear - across:.0f} mm aside."
                    ),
                    allowed=f"nut {clear:.0f} mm beside the gusset's middle", nearest="none",
                )  # fmt: skip


def _nuts(x: float, y: float, cut: SlotCut) -> tuple[tuple[float, float], ...]:
    """Where the nut of a hole may stand: in its middle, and at both ends of a slot."""
    if not cut.slot:
        return ((x, y),)
    u, v = cut.axis[0] * cut.slot / 2, cut.axis[1] * cut.slot / 2
    return (x, y), (x - u, y - v), (x + u, y + v)


def _unused(m: ColumnMeasures) -> Iterator[Finding]:
    f, top = m.brief.frame, m.brief.top
    if f.bearers_at:
        yield Finding(
            code="frame.no_bearers", field="frame.bearers_at", severity=Severity.LOOK, nearest="[]", allowed="empty",
            message="A column has no bearers to fix: the machine is bolted to its head plate; leave their places out.",
        )
    if top.kind in ("sheet", "wood"):
        yield Finding(
            code="column.no_top", field="top.kind",
            message=(
                f"A column carries the machine on its head plate and has no ring for a {top.kind} top; "
                f"choose none, or a tray."
            ),
            allowed="none or tray", nearest="none",
        )  # fmt: skip
    if f.shelf != "none" and (f.shelf == "slats" or not m.cross):
        cure = "take a sheet" if m.cross else "put boxes on the base plate itself, or stand the column on a cross"
        yield Finding(
            code="column.no_shelf", field="frame.shelf", severity=Severity.LOOK,
            message=f"There is nothing under a column that {f.shelf} could lie on as a shelf, so none is made; {cure}.",
            allowed="none, or sheet on a cross", nearest="none",
        )  # fmt: skip

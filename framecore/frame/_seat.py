"""Bearers under the machine's feet, and the holes the machine bolts through."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from framecore.brief.model import Brief
from framecore.catalogue.model import Profile, Shape
from framecore.errors import Finding, Severity
from framecore.frame._fixed_bearers import Support, carried, place_findings
from framecore.frame._ring import rail_across
from framecore.frame.machine import machine_datum
from framecore.frame.model import Hole, Member, Mount, Role
from framecore.frame.slotted import machine_slots

FLAT_TOPPED = (Shape.SQUARE_TUBE, Shape.RECT_TUBE, Shape.FLAT, Shape.SQUARE_BAR)


@dataclass(frozen=True, slots=True, kw_only=True)
class RingRoom:
    """The top ring seen from above: ``length`` x ``depth`` outside, rail ``width``, ``corner`` radius, ``top`` z.

    ``narrowing``: how much deeper the stand is at the floor than its ring, mm. ``across``: name and x of rails
    that cross the ring between its ends; a bearer has no place beside them.
    """

    length: float
    depth: float
    width: float
    corner: float
    top: float
    narrowing: float = 0.0
    across: tuple[tuple[str, float], ...] = ()

    def rail_at(self, x: float, half: float) -> tuple[str, float] | None:
        """Return the crossing rail, and its x, that a bearer ``half`` a width to each side of x would run into."""
        return next((r for r in self.across if abs(x - r[1]) < half + self.width / 2 - 1e-9), None)

    @property
    def inner_x(self) -> float:
        """Half the clear length between the end rails."""
        return self.length / 2 - self.width

    @property
    def inner_y(self) -> float:
        """Half the clear depth between the long rails."""
        return self.depth / 2 - self.width


def holes_on_stand(brief: Brief) -> tuple[tuple[float, float], ...]:
    """Return the machine's holes in the stand's x, y: the middle of the pattern lies at ``machine.at``."""
    dx, dy, _ = machine_datum(brief, 0.0)
    return tuple((x + dx, y + dy) for x, y in brief.machine.holes)


def columns(xs: Sequence[float], reach: float) -> tuple[tuple[int, ...], ...]:
    """Group hole indices whose x lie within ``reach`` of the first of their group, left to right."""
    groups: list[list[int]] = []
    for i in sorted(range(len(xs)), key=lambda k: xs[k]):
        if groups and xs[i] - xs[groups[-1][0]] <= reach:
            groups[-1].append(i)
        else:
            groups.append([i])
    return tuple(tuple(g) for g in groups)


def has_bearers(brief: Brief) -> bool:
    """Whether a ring that carries bearers gets any: under the machine's holes, where they are fixed, or as counted."""
    return bool(brief.machine.holes or brief.frame.bearers_at or brief.frame.bearers)


def bearers_too_close(bearers: Sequence[Member], profile: Profile, *, fixed: bool = False) -> Iterator[Finding]:
    """Yield where two neighbouring bearers, left to right, would share room; ``fixed`` where the maker placed them."""
    for one, other in pairwise(bearers):
        apart = other.start.point[0] - one.start.point[0]
        if apart >= profile.width - 1e-9:
            continue
        if fixed:
            yield Finding(
                code="frame.bearers_overlap", field="frame.bearers_at", member=other.name,
                message=(
                    f"{one.name.capitalize()} and {other.name} are fixed {apart:.0f} mm apart, but {profile.id} is "
                    f"{profile.width:.0f} mm wide; set them at least that far apart, or take one bearer for both."
                ),
                allowed=f"at least {profile.width:.0f} mm apart", nearest=f"{one.start.point[0] + profile.width:.6g} mm",
            )  # fmt: skip
        else:
            yield Finding(
                code="frame.bearers_overlap", field="frame.sections.bearers", member=other.name,
                message=(
                    f"{one.name.capitalize()} and {other.name} lie {apart:.0f} mm apart, but {profile.id} is "
                    f"{profile.width:.0f} mm wide; take a narrower section for the bearers, one at least "
                    f"{2 * apart:.0f} mm wide that carries the holes of both, or fewer bearers."
                ),
                allowed=f"up to {apart:.0f} mm or from {2 * apart:.0f} mm wide",
            )  # fmt: skip


def hole_word(i: int, slot: float) -> str:
    """Return what the hole with index ``i`` is called in a sentence: "Hole 2", or "Slotted hole 2"."""
    return f"Slotted hole {i + 1}" if slot else f"Hole {i + 1}"


@dataclass(frozen=True, slots=True, kw_only=True)
class SeatParts:
    """What the seat adds to the frame."""

    bearers: tuple[Member, ...]
    mounts: tuple[Mount, ...]
    holes: tuple[Hole, ...]
    findings: tuple[Finding, ...]


def build_seat(
    brief: Brief,
    profile: Profile,
    room: RingRoom,
    *,
    seat: float,
    clearance: float,
    has_top: bool,
    top_thickness: float,
) -> SeatParts:
    """Place bearers and holes.

    Parameters
    ----------
    profile : of the bearers
    seat : z of the face the machine stands on, mm
    clearance : diameter of the clearance hole, mm
    """
    over = brief.frame.bearer_place == "over the ring"
    half = profile.width / 2
    y_end = room.depth / 2 if over else room.inner_y
    # Over a tray the machine stands on blocks; the tray itself is laid and drilled when the layout is done.
    tray = brief.top.kind == "tray"
    top = seat - (brief.top.raised if tray else 0.0) if over else room.top
    found: list[Finding] = []
    bearers: list[Member] = []
    mounts: list[Mount] = []
    holes: list[Hole] = []

    def add_bearer(x: float, number: int = 0) -> str:
        name = f"bearer {number or len(bearers) + 1}"
        bearers.append(rail_across(name, Role.BEARER, profile, -y_end, y_end, x, top))
        return name

    points = holes_on_stand(brief)
    limit = room.length / 2 - half if over else room.inner_x - half
    fixed = sorted(brief.frame.bearers_at)
    supports: list[Support] = []
    if fixed:
        across = () if over else room.across
        wrong = dict(place_findings(fixed, half, limit, across, room.width))
        found += wrong.values()
        for k, x in enumerate(fixed):
            name = f"bearer {k + 1}" if k in wrong else add_bearer(x, k + 1)
            supports.append(Support(name=name, x=x, flat=half - profile.corner, height=profile.height, placed=k not in wrong))
        if not over:
            end, flat = room.length / 2 - room.width / 2, room.width / 2 - room.corner
            rails = (("top rail left", -end), *across, ("top rail right", end))
            supports += [Support(name=n, x=x, flat=flat, height=0.0) for n, x in rails]
    elif not points:
        for k in range(brief.frame.bearers):
            x = -room.inner_x + 2 * room.inner_x * (k + 1) / (brief.frame.bearers + 1)
            if over or room.rail_at(x, half) is None:
                add_bearer(x)
    if not points:
        found += bearers_too_close(bearers, profile, fixed=bool(fixed))
        return SeatParts(bearers=tuple(bearers), mounts=(), holes=(), findings=tuple(found))

    cuts = machine_slots(brief)
    carrier: dict[int, tuple[str, float, float, float]] = {}  # hole -> member, its x, half flat, height
    if fixed:
        on, beside = carried(points, [clearance / 2 + c.half_x for c in cuts], supports, limit)
        found += beside
        carrier = {i: (s.name, s.x, s.flat, s.height) for i, s in on.items() if s.placed}
    for group in () if fixed else columns([p[0] for p in points], half):
        x = (points[group[0]][0] + points[group[-1]][0]) / 2
        names = ", ".join(str(i + 1) for i in group)
        crossing = None if over else room.rail_at(x, half)
        if crossing is not None:
            for i in group:
                carrier[i] = (*crossing, room.width / 2 - room.corner, 0.0)
        elif abs(x) <= limit + 1e-9:
            name = add_bearer(x)
            for i in group:
                carrier[i] = (name, x, half - profile.corner, profile.height)
        elif not over and room.inner_x <= abs(x) <= room.length / 2:
            side = "right" if x > 0 else "left"
            rail_x = (room.length / 2 - room.width / 2) * (1 if x > 0 else -1)
            for i in group:
                carrier[i] = (f"top rail {side}", rail_x, room.width / 2 - room.corner, 0.0)
        else:
            need = 2 * (abs(x) + half + (0 if over else room.width))
            found.append(
                Finding(
                    code="frame.bearer_outside",
                    field="frame.length",
                    member=f"bearer under holes {names}",
                    message=(
                        f"The bearer under holes {names} would lie at x = {x:.0f} mm, outside or half on the end rail of "
                        f"the top ring; make the stand at least {need:.0f} mm long or move the machine."
                    ),
                    allowed=f"at least {need:.0f} mm",
                    nearest=f"{need:.0f} mm",
                )
            )
    for i, (x, y) in enumerate(points):
        if i not in carrier:
            continue
        (name, cx, flat, height), cut = carrier[i], cuts[i]
        off = abs(x - cx) + clearance / 2 + cut.half_x - flat
        whole = over or name in ("top rail left", "top rail right")
        past = abs(y) + clearance / 2 + cut.half_y - (room.depth / 2 if whole else room.inner_y)
        if off > 1e-9:
            found.append(
                Finding(
                    code="frame.hole_off_flat",
                    field="machine.holes",
                    member=name,
                    message=(
                        f"{hole_word(i, cut.slot)} runs {off:.1f} mm off the flat face of {name} into its rounded edge; "
                        f"take a wider section there, or move the machine along."
                    ),
                )
            )
        if past > 1e-9:
            need = room.depth + room.narrowing + 2 * past
            found.append(
                Finding(
                    code="frame.hole_off_bearer",
                    field="frame.depth",
                    member=name,
                    message=(
                        f"{hole_word(i, cut.slot)} at y = {y:.0f} mm lies {past:.1f} mm past the end of {name}; "
                        f"make the stand at least {need:.0f} mm deep, or lay the bearers over the ring."
                    ),
                    allowed=f"at least {need:.0f} mm",
                    nearest=f"{need:.0f} mm",
                )
            )
        face = top
        mounts.append(Mount(name=f"mount {i + 1}", point=(x, y, seat), member=name, hole=clearance, slot=cut.slot,
                            slot_axis=cut.axis))  # fmt: skip
        purpose = f"machine foot {i + 1}"
        holes.append(
            Hole(owner=name, centre=(x, y, face), axis=(0.0, 0.0, -1.0), diameter=clearance,
                 depth=height or 1e4, purpose=purpose, slot=cut.slot, slot_axis=cut.axis)
        )  # fmt: skip
        if has_top and not over and not tray:
            holes.append(
                Hole(owner="top", centre=(x, y, seat), axis=(0.0, 0.0, -1.0), diameter=clearance,
                     depth=top_thickness, purpose=purpose, slot=cut.slot, slot_axis=cut.axis)
            )  # fmt: skip
    if profile.shape not in FLAT_TOPPED:
        found.append(
            Finding(
                code="frame.bearer_shape",
                field="frame.sections.bearers",
                severity=Severity.STOP,
                message=(
                    f"A {profile.shape} ({profile.id}) has no level face for the machine's feet; "
                    f"take square or rectangular tube, flat or square bar for the bearers."
                ),
                nearest="SHS 50x50x3",
            )
        )
    found += bearers_too_close(bearers, profile, fixed=bool(fixed))
    return SeatParts(bearers=tuple(bearers), mounts=tuple(mounts), holes=tuple(holes), findings=tuple(found))

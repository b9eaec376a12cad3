"""A machine on one box beam: straight through it, or on cross pieces where its feet stand wider."""

from __future__ import annotations

from dataclasses import dataclass

from framecore.brief.model import Brief
from framecore.catalogue.model import Profile
from framecore.errors import Finding, Severity
from framecore.frame._fixed_bearers import Support, carried, place_findings
from framecore.frame._ring import rail_across
from framecore.frame._seat import FLAT_TOPPED, bearers_too_close, columns, hole_word, holes_on_stand
from framecore.frame.model import Hole, Member, Mount, Role
from framecore.frame.slotted import SlotCut, machine_slots

# Least land past a hole's middle, in hole diameters (common practice; EN 1993-1-8 table 3.3 asks 1.2, from memory).
_LAND = 1.5


@dataclass(frozen=True, slots=True, kw_only=True)
class BeamSeat:
    """What the machine's seat adds to a stand with a box beam."""

    bearers: tuple[Member, ...]
    mounts: tuple[Mount, ...]
    holes: tuple[Hole, ...]
    findings: tuple[Finding, ...]


def crosses_beam(brief: Brief, beam: Profile, clearance: float) -> bool:
    """Whether some hole of diameter ``clearance`` misses the beam's flat, so that cross pieces carry the machine."""
    flat = beam.width / 2 - beam.corner
    cuts = machine_slots(brief)
    return any(
        abs(y) + clearance / 2 + cut.half_y > flat + 1e-9 for (_, y), cut in zip(holes_on_stand(brief), cuts, strict=True)
    )


def build_beam_seat(brief: Brief, profile: Profile, beam: Profile, *, seat: float, clearance: float) -> BeamSeat:
    """Place cross pieces and holes; the beam lies along the middle of the stand, its ends flush with the legs.

    Parameters
    ----------
    profile : of the cross pieces
    seat : z of the face the machine stands on, mm
    clearance : diameter of the clearance hole, mm
    """
    points = holes_on_stand(brief)
    half = brief.frame.length / 2
    cuts = machine_slots(brief)
    fixed = sorted(brief.frame.bearers_at)
    if not crosses_beam(brief, beam, clearance):
        holes, mounts = _drill(points, [("box beam", beam.height)] * len(points), seat, clearance, cuts)
        found = [
            _past_end(f"hole {i + 1}", x, 2 * (abs(x) + _LAND * clearance + cut.half_x))
            for i, ((x, _), cut) in enumerate(zip(points, cuts, strict=True))
            if abs(x) + _LAND * clearance + cut.half_x > half + 1e-9
        ]
        if fixed:
            found.append(_none_here(bool(points)))
        return BeamSeat(bearers=(), mounts=mounts, holes=holes, findings=tuple(found))
    bearers: list[Member] = []
    owners = [("", 0.0)] * len(points)
    findings: list[Finding] = []
    groups: list[tuple[int, float, tuple[int, ...]]] = []  # number, x and holes of each cross piece
    if fixed:
        limit, flat = half - profile.width / 2, profile.width / 2 - profile.corner
        wrong = dict(place_findings(fixed, profile.width / 2, limit, (), 0.0))
        bars = [Support(name=f"bearer {k + 1}", x=x, flat=flat, height=profile.height) for k, x in enumerate(fixed)]
        on, beside = carried(points, [clearance / 2 + c.half_x for c in cuts], bars, limit)
        findings += [*wrong.values(), *beside]
        groups += [
            (k + 1, bar.x, tuple(i for i, s in on.items() if s is bar)) for k, bar in enumerate(bars) if k not in wrong
        ]
    else:
        for n, own in enumerate(columns([p[0] for p in points], profile.width / 2), 1):
            groups.append((n, (points[own[0]][0] + points[own[-1]][0]) / 2, own))
    for number, x, group in groups:
        name = f"bearer {number}"
        past = [(points[i][1], cuts[i].half_y) for i in group]
        land = max(_LAND * clearance, profile.width / 2)
        low, high = min([0.0, *(y - s for y, s in past)]) - land, max([0.0, *(y + s for y, s in past)]) + land
        low, high = min(low, -beam.width / 2), max(high, beam.width / 2)
        if abs(x) + profile.width / 2 > half + 1e-9:
            findings.append(_past_end(name, x, 2 * (abs(x) + profile.width / 2)))
        bearers.append(rail_across(name, Role.BEARER, profile, low, high, x, seat))
        for i in group:
            owners[i] = (name, profile.height)
            off = abs(points[i][0] - x) + clearance / 2 + cuts[i].half_x - (profile.width / 2 - profile.corner)
            if off > 1e-9:
                findings.append(_off_flat(i, off, name, cuts[i].slot))
    findings += bearers_too_close(bearers, profile, fixed=bool(fixed))
    if profile.shape not in FLAT_TOPPED:
        findings.append(
            Finding(
                code="frame.bearer_shape", field="frame.sections.bearers",
                message=(
                    f"A {profile.shape} ({profile.id}) has no level face for the machine's feet; "
                    f"take square or rectangular tube, flat or square bar for the bearers."
                ),
                nearest="SHS 50x50x3",
            )
        )  # fmt: skip
    holes, mounts = _drill(points, owners, seat, clearance, cuts)
    return BeamSeat(bearers=tuple(bearers), mounts=mounts, holes=holes, findings=tuple(findings))


def _drill(
    points: tuple[tuple[float, float], ...], owners: list[tuple[str, float]], seat: float, clearance: float,
    cuts: tuple[SlotCut, ...],
) -> tuple[tuple[Hole, ...], tuple[Mount, ...]]:  # fmt: skip
    """Return a hole through its owner, and a mount, for every point that has one; owners as name and depth."""
    every = [(i, x, y, o, deep, c) for i, ((x, y), (o, deep), c) in enumerate(zip(points, owners, cuts, strict=True)) if o]
    holes = tuple(
        Hole(owner=owner, centre=(x, y, seat), axis=(0.0, 0.0, -1.0), diameter=clearance, depth=depth,
             purpose=f"machine foot {i + 1}", slot=cut.slot, slot_axis=cut.axis)
        for i, x, y, owner, depth, cut in every
    )  # fmt: skip
    mounts = tuple(
        Mount(name=f"mount {i + 1}", point=(x, y, seat), member=owner, hole=clearance, slot=cut.slot, slot_axis=cut.axis)
        for i, x, y, owner, _, cut in every
    )
    return holes, mounts


def _past_end(what: str, x: float, need: float) -> Finding:
    return Finding(
        code="frame.bearer_outside", field="frame.length", member=what if what.startswith("bearer") else "box beam",
        message=(
            f"{what[:1].upper()}{what[1:]} at x = {x:.0f} mm lies on or past the end of the box beam; "
            f"make the stand at least {need:.0f} mm long or move the machine."
        ),
        allowed=f"at least {need:.0f} mm", nearest=f"{need:.0f} mm",
    )  # fmt: skip


def _none_here(held: bool) -> Finding:
    why = "the machine is bolted straight to the box beam" if held else "the machine has no holes"
    return Finding(
        code="frame.no_bearers", field="frame.bearers_at", severity=Severity.LOOK, nearest="[]", allowed="empty",
        message=f"There are no bearers to fix: {why}; leave their places out.",
    )  # fmt: skip


def _off_flat(hole: int, off: float, name: str, slot: float) -> Finding:
    return Finding(
        code="frame.hole_off_flat", field="machine.holes", member=name,
        message=(
            f"{hole_word(hole, slot)} runs {off:.1f} mm off the flat face of {name} into its rounded edge; "
            f"take a wider section there, or move the machine along."
        ),
    )  # fmt: skip

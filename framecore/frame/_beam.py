"""A machine on one box beam: straight through it, or on cross pieces where its feet stand wider."""

from __future__ import annotations

from dataclasses import dataclass

from framecore.brief.model import Brief
from framecore.catalogue.model import Profile
from framecore.errors import Finding
from framecore.frame._ring import rail_across
from framecore.frame._seat import FLAT_TOPPED, bearers_too_close, columns, holes_on_stand
from framecore.frame.model import Hole, Member, Mount, Role

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
    return any(abs(y) + clearance / 2 > flat + 1e-9 for _, y in holes_on_stand(brief))


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
    if not crosses_beam(brief, beam, clearance):
        holes, mounts = _drill(points, [("box beam", beam.height)] * len(points), seat, clearance)
        found = tuple(
            _past_end(f"hole {i + 1}", x, 2 * (abs(x) + _LAND * clearance))
            for i, (x, _) in enumerate(points)
            if abs(x) + _LAND * clearance > half + 1e-9
        )
        return BeamSeat(bearers=(), mounts=mounts, holes=holes, findings=found)
    bearers: list[Member] = []
    owners = [("", 0.0)] * len(points)
    findings: list[Finding] = []
    for group in columns([p[0] for p in points], profile.width / 2):
        name = f"bearer {len(bearers) + 1}"
        x = (points[group[0]][0] + points[group[-1]][0]) / 2
        ys = [points[i][1] for i in group]
        land = max(_LAND * clearance, profile.width / 2)
        low, high = min(*ys, 0.0) - land, max(*ys, 0.0) + land
        low, high = min(low, -beam.width / 2), max(high, beam.width / 2)
        if abs(x) + profile.width / 2 > half + 1e-9:
            findings.append(_past_end(name, x, 2 * (abs(x) + profile.width / 2)))
        bearers.append(rail_across(name, Role.BEARER, profile, low, high, x, seat))
        for i in group:
            owners[i] = (name, profile.height)
            off = abs(points[i][0] - x) + clearance / 2 - (profile.width / 2 - profile.corner)
            if off > 1e-9:
                findings.append(_off_flat(i, off, name))
    findings += bearers_too_close(bearers, profile)
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
    holes, mounts = _drill(points, owners, seat, clearance)
    return BeamSeat(bearers=tuple(bearers), mounts=mounts, holes=holes, findings=tuple(findings))


def _drill(
    points: tuple[tuple[float, float], ...], owners: list[tuple[str, float]], seat: float, clearance: float
) -> tuple[tuple[Hole, ...], tuple[Mount, ...]]:
    """Return a hole through its owner, and a mount, for every point; owners as name and depth."""
    holes = tuple(
        Hole(owner=owner, centre=(x, y, seat), axis=(0.0, 0.0, -1.0), diameter=clearance, depth=depth,
             purpose=f"machine foot {i + 1}")
        for i, ((x, y), (owner, depth)) in enumerate(zip(points, owners, strict=True))
    )  # fmt: skip
    mounts = tuple(
        Mount(name=f"mount {i + 1}", point=(x, y, seat), member=owner, hole=clearance)
        for i, ((x, y), (owner, _)) in enumerate(zip(points, owners, strict=True))
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


def _off_flat(hole: int, off: float, name: str) -> Finding:
    return Finding(
        code="frame.hole_off_flat", field="machine.holes", member=name,
        message=(
            f"Hole {hole + 1} runs {off:.1f} mm off the flat face of {name} into its rounded edge; "
            f"take a wider section there, or move the machine along."
        ),
    )  # fmt: skip

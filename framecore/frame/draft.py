"""A frame in the making: layouts and what dresses them add to it, then it is frozen."""

from __future__ import annotations

from dataclasses import dataclass, field

from framecore.brief.model import Brief
from framecore.errors import Finding
from framecore.frame.model import Bay, Caster, Foot, Frame, Hole, Joint, Member, Mount, Plate, Plated


@dataclass(slots=True, kw_only=True, eq=False)
class Draft:
    """Lists that grow; the measures are set by the layout. See ``Frame`` for what each means."""

    layout: str
    brief: Brief
    seat: float
    ring_top: float
    length: float
    depth: float
    style: tuple[object, ...] = ()
    members: list[Member] = field(default_factory=list)
    plates: list[Plate] = field(default_factory=list)
    holes: list[Hole] = field(default_factory=list)
    joints: list[Joint] = field(default_factory=list)
    feet: list[Foot] = field(default_factory=list)
    mounts: list[Mount] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)
    seat_joints: list[str] = field(default_factory=list)
    bays: list[Bay] = field(default_factory=list)
    plated: list[Plated] = field(default_factory=list)
    casters: list[Caster] = field(default_factory=list)

    def member(self, name: str) -> Member:
        """Return the member of that name."""
        return next(m for m in self.members if m.name == name)

    def freeze(self) -> Frame:
        """Return the finished frame; its topology is read off what it holds."""
        return Frame(
            members=tuple(self.members), plates=tuple(self.plates), holes=tuple(self.holes), joints=tuple(self.joints),
            feet=tuple(self.feet), mounts=tuple(self.mounts), seat=self.seat, ring_top=self.ring_top,
            length=self.length, depth=self.depth, findings=tuple(self.findings), layout=self.layout,
            seat_joints=tuple(self.seat_joints), bays=tuple(self.bays), plated=tuple(self.plated),
            casters=tuple(self.casters),
            topology=(
                self.layout, *self.style,
                tuple((m.name, m.profile.id) for m in self.members), tuple((p.name, len(p.outline)) for p in self.plates),
                tuple((h.owner, h.purpose) for h in self.holes), tuple((j.name, j.members) for j in self.joints),
                tuple((f.name, f.leg) for f in self.feet), tuple((m.name, m.member) for m in self.mounts),
                tuple((p.kind, p.plate, p.ends) for p in self.plated), tuple((c.name, c.on) for c in self.casters),
            ),
        )  # fmt: skip

"""Pads, foot studs and holding-down bolts."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from framecore.brief.model import Brief
from framecore.catalogue import steel_of
from framecore.catalogue import thread as find_thread
from framecore.catalogue.bolts import class_of, proof_load, shear_share, stud_class, tensile, yield_stress
from framecore.catalogue.model import Profile, Thread
from framecore.frame.model import Frame
from framecore.strength.checked import BoltCheck, PadCheck
from framecore.strength.model import Case

Floats = NDArray[np.float64]
GAMMA_M2 = 1.25
GRIP = 0.2  # friction of a machine's foot on steel (common practice)


def strip_area(thread: Thread, engaged: float) -> float:
    """Area of the pad's thread that shears off, mm2.

    ``pi (m / p) d (p / 2 + (d - d2) / sqrt 3)``, cut at the stud's outside diameter d, d2 = d - 0.6495 p.

    Source: geometry of the ISO and unified profile, as in FED-STD-H28 (from memory), basic sizes.
    """
    d, p = thread.diameter, thread.pitch
    return math.pi * engaged / p * d * (p / 2 + 0.6495 * p / math.sqrt(3))


def pad_lever(profile: Profile | None, pad: float) -> tuple[float, bool]:
    """Lever from the stud to the leg's wall, mm, and whether two walls share the load.

    A tube stands round the stud: a strip of pad spans its two nearer walls, half the load on each. An angle's
    heel is flush with the pad's edges: one leg carries.
    """
    if profile is None:
        return 0.0, False
    if profile.is_angle:
        return max(pad / 2 - profile.wall / 2, 0.0), False
    return max(min(profile.width, profile.height) - profile.wall, 0.0) / 2, True


def check_pads(
    brief: Brief, frame: Frame, cases: tuple[Case, ...], studs: Floats, foot_loads: Floats, margin: float
) -> tuple[PadCheck, ...]:  # fmt: skip
    """Check the pad, its thread and the stud of every foot; ``foot_loads`` (feet, c) N, ``studs`` (feet, 12, c) N, N mm."""
    fy = steel_of(brief.steel.grade, tube=False).fy
    thread = find_thread(brief.feet.thread)
    worst = foot_loads.argmax(1).tolist()
    d, yields = thread.root_diameter, yield_stress(stud_class(thread))
    area, modulus = math.pi * d * d / 4, math.pi * d**3 / 32
    bent = np.sqrt(np.maximum(studs[:, 4] ** 2 + studs[:, 5] ** 2, studs[:, 10] ** 2 + studs[:, 11] ** 2)) / modulus
    stress = np.abs(studs[:, 6]) / area + bent
    at = stress.argmax(1).tolist()
    legs = {m.name: m.profile for m in frame.members}
    plates = {p.name: p for p in frame.plates}
    loads, stresses = foot_loads.max(1).tolist(), stress.max(1).tolist()
    out = []
    for k, foot in enumerate(frame.feet):
        plate = plates[foot.pad]
        side = float((plate.outline.max(0) - plate.outline.min(0)).min())
        load, s = loads[k], stresses[k]
        lever, shared = pad_lever(legs.get(foot.leg), side)
        width = min(side, brief.feet.pad)
        bending = margin * load * (0.5 if shared else 1.0) * lever / (width * plate.thickness**2 / 6)
        strip = strip_area(thread, plate.thickness)
        uses = (bending / fy, margin * load / (strip * fy / math.sqrt(3)), margin * s / yields)
        out.append(
            PadCheck(
                foot=foot.name, pad=foot.pad, case=cases[worst[k]].id, load=load, lever=lever, width=width,
                thickness=plate.thickness, bending=bending, bending_use=uses[0], engaged=plate.thickness, strip_area=strip,
                thread_use=uses[1], stud_case=cases[at[k]].id, stud_stress=s, stud_use=uses[2], use=max(uses),
            )
        )  # fmt: skip
    return tuple(out)


def check_bolts(
    brief: Brief, frame: Frame, cases: tuple[Case, ...], ends: Floats, margin: float
) -> tuple[BoltCheck, ...]:
    """Check every holding-down bolt: tension and shear of its mount against proof load, shear and bearing.

    ``ends`` (mounts, 12, c): end forces on the screws that stand for the machine's feet, N and N mm.

    The bolts are of ``mounting.bolt_class``, as their thread is made in it.

    Source: EN 1993-1-8 table 3.4 (shear alpha_v fub As / gamma_M2, alpha_v 0.6 and in class 10.9 0.5; tension with
    shear by F_v / F_v,Rd + F_t / (1.4 F_t,Rd); bearing 2.5 alpha_b fu d t / gamma_M2 with alpha_b 0.5, below fub / fu
    in every class), tension alone against the proof load of ISO 898-1 or SAE J429; from memory.
    """
    if not len(ends):
        return ()
    thread = find_thread(brief.machine.bolt)
    cls = class_of(thread, brief.mounting.bolt_class)
    proof = proof_load(thread, cls)
    tension_limit = 0.9 * tensile(cls) * thread.stress_area / GAMMA_M2
    shear_limit = shear_share(cls) * tensile(cls) * thread.stress_area / GAMMA_M2
    profiles = {m.name: m.profile for m in frame.members}
    tension = np.maximum(ends[:, 6], 0.0)
    shear = np.hypot(ends[:, 7], ends[:, 8])
    both = margin * np.maximum(
        tension / proof, shear / shear_limit + np.where(tension > 0, tension / (1.4 * tension_limit), 0.0)
    )
    carriers = [profiles.get(mount.member) for mount in frame.mounts]
    walls = np.array([p.wall_design if p is not None else brief.frame.base_thickness for p in carriers])
    fu = np.array([steel_of(brief.steel.grade, tube=p is not None and p.closed).fu for p in carriers])
    bearing = 2.5 * 0.5 * fu * thread.diameter * walls / GAMMA_M2
    use = np.maximum(both, margin * shear / bearing[:, None]) * np.array([c.checked for c in cases])
    at = use.argmax(1)
    pick = np.arange(len(at))
    # Setting down comes before the bolts: it asks for no clamp.
    tight = np.array([c.checked and c.id != "set down" for c in cases])
    clamp = np.where(tight, np.maximum(ends[:, 6] + shear / GRIP, 0.0), 0.0)
    worst = clamp.argmax(1)
    rows = zip(
        frame.mounts, carriers, at.tolist(), bearing.tolist(), use[pick, at].tolist(), tension[pick, at].tolist(),
        shear[pick, at].tolist(), clamp[pick, worst].tolist(), worst.tolist(), ends[pick, 6, worst].tolist(),
        shear[pick, worst].tolist(), strict=True,
    )  # fmt: skip
    return tuple(
        BoltCheck(
            mount=mount.name, thread=thread.id, bolt_class=cls, case=cases[c].id, tension=t, shear=v, proof=proof,
            shear_limit=shear_limit, bearing_limit=b, use=u, sleeve=p is not None and p.closed, clamp=g, clamp_case=cases[w].id,
            clamp_tension=gt, clamp_shear=gv,
        )
        for mount, p, c, b, u, t, v, g, w, gt, gv in rows
    )  # fmt: skip

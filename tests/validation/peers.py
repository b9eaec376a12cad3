"""The same frame solved by OpenSees and by PyNite (test-only reference programs)."""

from __future__ import annotations

import warnings

import numpy as np

from framecore.fem import FrameModel


def opensees_build(model: FrameModel, *, shear: bool = False, mass: bool = False) -> None:
    """Rebuild the model in OpenSees; springs become zero-length elements to fixed twins."""
    import openseespy.opensees as ops

    ops.wipe()
    ops.model("basic", "-ndm", 3, "-ndf", 6)
    n = model.n_nodes
    for i, p in enumerate(model.nodes.tolist()):
        ops.node(i + 1, *p)
    turn = model.axes[:, 2].tolist()  # the vector of geomTransf lies in the local x-z plane
    for e, (i, j) in enumerate(model.elements.tolist()):
        tag = e + 1
        joint = ["-jntOffset", *model.offsets[e].ravel().tolist()] if model.offsets[e].any() else []
        ops.geomTransf("Linear", tag, *turn[e], *joint)
        rho = float(model.density[e] * model.area[e]) if mass else 0.0
        section = [float(a[e]) for a in (model.area, model.e, model.g, model.j, model.i_y, model.i_z)]
        if shear:
            a, young, modulus, torsion, i_y, i_z = section
            ops.element(
                "ElasticTimoshenkoBeam",
                tag,
                i + 1,
                j + 1,
                young,
                modulus,
                a,
                torsion,
                i_y,
                i_z,
                float(model.shear_y[e]),
                float(model.shear_z[e]),
                tag,
                "-mass",
                rho,
                "-cMass",
            )
        else:
            ops.element("elasticBeamColumn", tag, i + 1, j + 1, *section, tag, "-mass", rho, "-cMass")
    material, element = 0, len(model.elements)
    for s, (i, k) in enumerate(zip(model.spring_nodes.tolist(), model.stiffness.tolist(), strict=True)):
        twin = n + s + 1
        ops.node(twin, *model.nodes[i].tolist())
        ops.fix(twin, 1, 1, 1, 1, 1, 1)
        tags = []
        for stiffness in k:
            material += 1
            ops.uniaxialMaterial("Elastic", material, stiffness)
            tags.append(material)
        element += 1
        ops.element("zeroLength", element, twin, i + 1, "-mat", *tags, "-dir", 1, 2, 3, 4, 5, 6)
    if mass:
        for i, m, inertia in zip(model.mass_nodes.tolist(), model.mass, model.mass_inertia, strict=True):
            ops.mass(i + 1, float(m), float(m), float(m), *inertia.tolist())


def opensees_cases(
    model: FrameModel, loads: np.ndarray, *, shear: bool = False, weight: np.ndarray | None = None
):
    """Displacements (n, 6, c); ``weight`` (m, 3) adds a local uniform load in N/mm to every case."""
    import openseespy.opensees as ops

    opensees_build(model, shear=shear)
    ops.constraints("Plain")
    ops.numberer("RCM")
    ops.system("BandSPD")
    ops.algorithm("Linear", "-factorOnce")
    ops.timeSeries("Linear", 1)
    ops.integrator("LoadControl", 1.0)
    ops.analysis("Static", "-noWarnings")
    n, c = model.n_nodes, loads.shape[2]
    out = np.empty((n, 6, c))
    for case in range(c):
        ops.setTime(0.0)
        ops.pattern("Plain", case + 1, 1)
        for i in np.flatnonzero(loads[:, :, case].any(1)).tolist():
            ops.load(i + 1, *loads[i, :, case].tolist())
        if weight is not None:
            for e, (qx, qy, qz) in enumerate(weight.tolist()):
                ops.eleLoad("-ele", e + 1, "-type", "-beamUniform", qy, qz, qx)
        assert ops.analyze(1) == 0
        for i in range(n):
            out[i, :, case] = ops.nodeDisp(i + 1)
        ops.remove("loadPattern", case + 1)
        ops.reset()
    ops.wipe()
    return out


def opensees_modes(model: FrameModel, count: int) -> np.ndarray:
    """Lowest natural frequencies in Hz."""
    import openseespy.opensees as ops

    opensees_build(model, mass=True)
    values = np.array(ops.eigen("-genBandArpack", count))
    ops.wipe()
    return np.sqrt(values) / (2.0 * np.pi)


def pynite_cases(
    model: FrameModel,
    loads: np.ndarray,
    *,
    weight: np.ndarray | None = None,
    turns: list[float] | None = None,
) -> np.ndarray:
    """Displacements (n, 6, c); ``weight`` (m, 3) adds a local uniform load in N/mm to every case."""
    turns = pynite_turns(model) if turns is None else turns
    from Pynite import FEModel3D

    frame = FEModel3D()
    names = [f"N{i}" for i in range(model.n_nodes)]
    for name, p in zip(names, model.nodes.tolist(), strict=True):
        frame.add_node(name, *p)
    for e, (i, j) in enumerate(model.elements.tolist()):
        young, g = float(model.e[e]), float(model.g[e])
        frame.add_material(f"M{e}", young, g, 0.3, 0.0)
        frame.add_section(f"S{e}", *(float(a[e]) for a in (model.area, model.i_y, model.i_z, model.j)))
        frame.add_member(f"E{e}", names[i], names[j], f"M{e}", f"S{e}", rotation=turns[e])
    kinds = ("DX", "DY", "DZ", "RX", "RY", "RZ")
    for i, k in zip(model.spring_nodes.tolist(), model.stiffness.tolist(), strict=True):
        for kind, stiffness in zip(kinds, k, strict=True):
            frame.def_support_spring(names[i], kind, stiffness)
    combos = [f"C{case}" for case in range(loads.shape[2])]
    for case, combo in enumerate(combos):
        frame.add_load_combo(combo, {combo: 1.0})
        for i in np.flatnonzero(loads[:, :, case].any(1)).tolist():
            for kind, value in zip(
                ("FX", "FY", "FZ", "MX", "MY", "MZ"), loads[i, :, case].tolist(), strict=True
            ):
                if value:
                    frame.add_node_load(names[i], kind, value, combo)
        if weight is not None:
            for e, q in enumerate(weight.tolist()):
                for kind, value in zip(("Fx", "Fy", "Fz"), q, strict=True):
                    frame.add_member_dist_load(f"E{e}", kind, value, value, case=combo)
    with warnings.catch_warnings():
        warnings.filterwarnings("ignore", module="Pynite")
        frame.analyze_linear(check_stability=False, sparse=True)
    out = np.empty((model.n_nodes, 6, len(combos)))
    for i, name in enumerate(names):
        node = frame.nodes[name]
        for d, kind in enumerate(kinds):
            row = getattr(node, kind)
            out[i, d] = [row[combo] for combo in combos]
    return out


def pynite_turns(model: FrameModel) -> list[float]:
    """Rotation in degrees about local x from PyNite's own local axes to the model's, for each element."""
    from Pynite import FEModel3D

    probe = FEModel3D()
    probe.add_material("m", 1.0, 1.0, 0.3, 0.0)
    probe.add_section("s", 1.0, 1.0, 1.0, 1.0)
    for i, p in enumerate(model.nodes.tolist()):
        probe.add_node(f"N{i}", *p)
    turns = []
    for e, (i, j) in enumerate(model.elements.tolist()):
        probe.add_member(f"E{e}", f"N{i}", f"N{j}", "m", "s")
        base = np.asarray(probe.members[f"E{e}"].T(), float)[:3, :3]
        y = model.axes[e, 1]
        turns.append(float(np.degrees(np.arctan2(y @ base[2], y @ base[1]))))
    return turns

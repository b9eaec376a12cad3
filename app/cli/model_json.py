"""The analysis model and its answers as plain arrays, for any other frame program to repeat."""

from __future__ import annotations

import json
import math
import os
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

if TYPE_CHECKING:
    from framecore.stand.model import Stand

KG_PER_TONNE = 1000.0
NOTES = (
    "density in kg/mm3; displacements are ux, uy, uz in mm and rx, ry, rz in rad, global axes",
    "local x runs from i to j; orientation is local z; Iy and Iz are about the principal axes local y and z, "
    "so Iyz is 0; shear_y and shear_z are shear areas, 0 means no shear deformation",
    "a link ties its node rigidly to its master; loads act at the nodes, self-weight included",
    "supports act both ways; in a case with lifted the supports of those nodes are taken away",
)


def _section(model: Any, k: int) -> dict[str, Any]:
    def at(name: str) -> float:
        value = float(model.per_element(name)[k])
        return value if math.isfinite(value) else 0.0

    return {
        "A": at("area"),
        "Iy": at("i_y"),
        "Iz": at("i_z"),
        "Iyz": 0.0,
        "J": at("j"),
        "shear_y": at("shear_y"),
        "shear_z": at("shear_z"),
        "E": at("e"),
        "G": at("g"),
        "density": at("density") * KG_PER_TONNE,
        "shear_centre": [float(v) for v in model.shear_centres[k]],
    }


def model_record(stand: Stand) -> dict[str, Any]:
    """Return the model as plain values. An element's rigid end becomes a node of its own and a link."""
    strength, model = stand.strength, stand.strength.model
    nodes = [[float(v) for v in p] for p in model.nodes]
    links: list[dict[str, Any]] = []
    extra: list[tuple[int, np.ndarray]] = []
    known: dict[tuple[int, tuple[float, ...]], int] = {}

    def end(element: int, side: int) -> int:
        master = int(model.elements[element, side])
        offset = model.end_offsets[element, side]
        if not offset.any():
            return master
        key = (master, tuple(float(round(v, 9)) for v in offset))
        if key not in known:
            known[key] = len(nodes)
            links.append({"type": "rigid", "node": len(nodes), "master": master})
            nodes.append([float(v) for v in model.nodes[master] + offset])
            extra.append((master, np.asarray(offset)))
        return known[key]

    sections: dict[str, dict[str, Any]] = {}
    names: dict[str, str] = {}
    elements = []
    for k in range(len(model.elements)):
        owner = int(strength.map.element_member[k])
        base = stand.frame.members[owner].profile.id if owner >= 0 else str(strength.map.element_part[k])
        section = _section(model, k)
        content = json.dumps([base, section])
        if content not in names:
            number = sum(1 for n in sections if n == base or n.startswith(f"{base} #"))
            names[content] = f"{base} #{number + 1}" if number else base
            sections[names[content]] = section
        elements.append(
            {
                "member": str(strength.map.element_part[k]),
                "i": end(k, 0),
                "j": end(k, 1),
                "section": names[content],
                "orientation": [float(v) for v in model.axes[k, 2]],
                "orientation_is": "local z",
            }
        )
    cases = []
    for c, case in enumerate(strength.cases):
        base_u = strength.displacements[:, :, c]
        tied = [
            np.concatenate((base_u[m, :3] + np.cross(base_u[m, 3:], off), base_u[m, 3:])) for m, off in extra
        ]
        rows = np.vstack((base_u, *tied)) if tied else base_u
        load = strength.loads[:, :, c]
        cases.append(
            {
                "name": case.id,
                "loads": [
                    {"node": int(n), "F": [float(v) for v in load[n]]}
                    for n in np.flatnonzero(load.any(axis=1))
                ],
                "lifted": [
                    int(n)
                    for f, n in enumerate(strength.map.foot_nodes)
                    if not strength.reactions[f, :, c].any()
                ],
                "displacements": rows.tolist(),
                "reactions": [
                    {"node": int(n), "F": [float(v) for v in strength.reactions[f, :, c]]}
                    for f, n in enumerate(strength.map.foot_nodes)
                ],
            }
        )
    offsets = model.mass_offset if model.mass_offset is not None else np.zeros((len(model.mass_nodes), 3))
    inertia = model.mass_inertia if model.mass_inertia is not None else np.zeros((len(model.mass_nodes), 3))
    bound = strength.buckling_bound
    return {
        "format": 1,
        "title": stand.brief.title,
        "units": {"length": "mm", "force": "N", "stress": "MPa", "mass": "kg"},
        "notes": list(NOTES),
        "nodes": nodes,
        "elements": elements,
        "sections": sections,
        "links": links,
        "supports": [
            {"node": int(n), "stiffness": [float(v) for v in row]}
            for n, row in zip(model.spring_nodes, model.stiffness, strict=True)
        ],
        "masses": [
            {
                "node": int(n),
                "m": float(m) * KG_PER_TONNE,
                "offset": [float(v) for v in off],
                "inertia": [float(v) * KG_PER_TONNE for v in turn],
            }
            for n, m, off, turn in zip(model.mass_nodes, model.mass, offsets, inertia, strict=True)
        ],
        "cases": cases,
        "modes_hz": [float(v) for v in strength.modes_hz],
        "buckling": [float(bound)] if math.isfinite(bound) else [],
    }


def write_model(stand: Stand, path: Path) -> None:
    """Write the model; the file is whole or not there. Raises ``OSError``."""
    text = json.dumps(model_record(stand), allow_nan=False) + "\n"
    part = path.with_name(f".{path.name}.part")
    try:
        part.write_text(text, encoding="utf-8")
        os.replace(part, path)
    except OSError:
        part.unlink(missing_ok=True)
        raise

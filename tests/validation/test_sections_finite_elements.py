"""Sections against finite elements of sectionproperties.

@misc{sectionproperties, title = {sectionproperties: cross-section analysis by finite elements}}
The shape is given here by sizes and radii to that package's own library, not by the catalogue's outline
(round bars and tapered channels excepted), so outline and formula are both checked.
"""

from __future__ import annotations

from functools import cache

import pytest
from sectionproperties.analysis import Section
from sectionproperties.pre import Geometry
from sectionproperties.pre.library import (
    angle_section,
    channel_section,
    circular_hollow_section,
    circular_section,
    rectangular_hollow_section,
    rectangular_section,
    tapered_flange_channel,
)

from framecore.catalogue import Profile, Shape, profile
from tests.validation.record import agree

NAMES = (
    "SHS 50x50x3",
    "RHS 60x40x3",
    "CHS 48.3x3.2",
    "L 50x50x5",
    "L 60x40x5",
    "FL 50x6",
    "UPN 80",
    "RD 20",
    "SQ 20",
    "HSS 2x2x1/8",
    "TUBE 2x1x11ga",
    "L1-1/2x1-1/2x1/8",
    "C2x1x1/8",
)


def _shape(p: Profile) -> Geometry:
    h, b, t = p.height, p.width, p.wall_design
    if p.shape in (Shape.SQUARE_TUBE, Shape.RECT_TUBE):
        return rectangular_hollow_section(d=h, b=b, t=t, r_out=p.corner, n_r=16)
    if p.shape is Shape.ROUND_TUBE:
        return circular_hollow_section(d=h, t=t, n=160)
    if p.is_angle:
        return angle_section(d=h, b=b, t=t, r_r=p.root, r_t=p.toe, n_r=16)
    if p.id == "UPN 80":
        # the library measures the flange at the middle of its outstand, the standard at half the width
        flange = p.flange - 0.08 * (0.5 * (b - t) + t - 0.5 * b)
        return tapered_flange_channel(
            d=h, b=b, t_f=flange, t_w=t, r_r=p.root, r_f=p.toe, alpha=4.5739212599, n_r=16
        )
    if p.shape is Shape.CHANNEL:
        return channel_section(d=h, b=b, t_f=p.flange, t_w=t, r=p.root, n_r=16)
    if p.shape is Shape.ROUND_BAR:
        return circular_section(d=h, n=160)
    return rectangular_section(d=h, b=b)


@cache
def solved(name: str) -> Section:
    p = profile(name)
    thin = min(p.wall_design, p.flange) if p.shape is not Shape.ROUND_BAR else p.height / 8
    size = (thin / 2.5) ** 2 if p.shape is not Shape.SQUARE_BAR else (p.height / 10) ** 2
    section = Section(_shape(p).create_mesh(mesh_sizes=[size]))
    section.calculate_geometric_properties()
    section.calculate_warping_properties()
    return section


@pytest.mark.parametrize("name", NAMES)
def test_area_and_second_moments(name: str) -> None:
    q, fe = profile(name).properties, solved(name)
    iyy, izz, iyz = fe.get_ic()
    # the mesh replaces arcs by chords: up to 0.05 % (0.06 % in area twice in I for rounds of 160 chords).
    # A channel of the library has sharp flange tips: its toe radius is ours alone
    near = 0.008 if name == "C2x1x1/8" else 0.0012
    agree(q.area, fe.get_area(), rel=near)
    agree(q.iyy, iyy, rel=near)
    agree(q.izz, izz, rel=near)
    agree(q.iyz, iyz, rel=near, abs=1e-6 * q.iyy)
    agree(q.i_u, max(fe.get_ip()), rel=near)
    agree(q.i_v, min(fe.get_ip()), rel=near)


@pytest.mark.parametrize("name", NAMES)
def test_torsion(name: str) -> None:
    p = profile(name)
    # open sections: El Darwish and Johnston lies 1 to 3 % above; tube: EN's formula 0.3 % below
    near = 0.005 if p.closed or p.shape in (Shape.FLAT, Shape.ROUND_BAR, Shape.SQUARE_BAR) else 0.035
    agree(p.properties.j, solved(name).get_j(), rel=near)


@pytest.mark.parametrize("name", NAMES)
def test_shear_centre(name: str) -> None:
    p = profile(name)
    fe = solved(name)
    cy, cz = fe.get_c()
    sy, sz = fe.get_sc()
    # closed and solid: the centroid. Channels within 2 % of the width. Angles: the middle lines' crossing,
    # which lies up to 0.3 wall beside the true one because the fillet has shear stiffness of its own
    near = 0.3 * p.wall if p.is_angle else 0.02 * p.width
    if p.closed:
        near = 0.001 * p.width
    agree(p.properties.shear_centre[0], sy - cy, abs=near)
    agree(p.properties.shear_centre[1], sz - cz, abs=near)


@pytest.mark.parametrize("name", NAMES)
def test_shear_areas(name: str) -> None:
    p = profile(name)
    ours = (p.properties.shear_y, p.properties.shear_z)
    theirs = solved(name).get_as_p() if p.is_angle else solved(name).get_as()
    # thin-wall flow on the middle line leaves out corners and fillets: tubes 5 %, angles and channels to 16 %
    # on the safe side; shear is a few per cent of a member's deflection
    near = 0.055 if p.closed or p.shape in (Shape.FLAT, Shape.ROUND_BAR, Shape.SQUARE_BAR) else 0.16
    for got, want in zip(ours, theirs, strict=True):
        assert (1.0 - near) * want <= got <= 1.01 * want


@pytest.mark.parametrize("name", ["L 50x50x5", "L1-1/2x1-1/2x1/8", "FL 50x6", "RD 20", "CHS 48.3x3.2"])
def test_peak_torsion_stress(name: str) -> None:
    q = profile(name).properties
    stress = solved(name).calculate_stress(mzz=1e6).get_stress()[0]["sig_zxy"].max()
    # a coarse mesh reads the peak at a fillet to some per cent
    agree(1e6 / q.w_t, stress, rel=0.08)


@pytest.mark.parametrize("name", NAMES)
def test_plastic_moduli(name: str) -> None:
    q, fe = profile(name).properties, solved(name)
    fe.calculate_plastic_properties()
    s_y, s_z = fe.get_s()
    near = 0.008 if name == "C2x1x1/8" else 0.0012
    agree(q.w_pl_y, s_y, rel=near)
    agree(q.w_pl_z, s_z, rel=near)

"""Finding profiles, sheets, steels and threads by what people type."""

import pytest

import framecore.catalogue as catalogue
from framecore.catalogue import (
    Shape,
    profile,
    profiles,
    sheet,
    sheets,
    steel,
    steels,
    summary,
    thread,
    threads,
)
from framecore.errors import CatalogueError


def test_public_names() -> None:
    assert set(catalogue.__all__) == {
        "Profile",
        "ProfileSummary",
        "SectionProperties",
        "Shape",
        "Sheet",
        "Steel",
        "Thread",
        "profile",
        "profiles",
        "sheet",
        "sheets",
        "steel",
        "steel_of",
        "steels",
        "summary",
        "thread",
        "threads",
    }


def test_enough_is_sold() -> None:
    assert len(profiles()) + len(sheets()) >= 250
    assert len(profiles(system="metric")) >= 125
    assert len(profiles(system="inch")) >= 125
    assert len(set(profiles())) == len(profiles())
    for shape in Shape:
        assert len(profiles(shape)) >= 10


def test_filters_part_the_catalogue() -> None:
    assert sorted(profiles()) == sorted(n for s in Shape for n in profiles(s))
    assert sorted(profiles()) == sorted(profiles(system="metric") + profiles(system="inch"))
    assert set(profiles("flat", "inch")) == set(profiles("flat")) & set(profiles(system="inch"))
    with pytest.raises(CatalogueError, match=r"hexagon.*square tube"):
        profiles("hexagon")
    with pytest.raises(CatalogueError, match="metric"):
        profiles(system="imperial")


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("SHS 50x50x3", "SHS 50x50x3"),
        ("shs50X50x3.0", "SHS 50x50x3"),
        ("50x50x3 square tube", "SHS 50x50x3"),
        ("SHS 50 × 50 × 3 mm", "SHS 50x50x3"),
        ("50 mm x 50 mm x 3 mm", "SHS 50x50x3"),
        ("40x60x3", "RHS 60x40x3"),
        ("60x40x3 rectangular hollow section", "RHS 60x40x3"),
        ("48.3 x 3.2 round tube", "CHS 48.3x3.2"),
        ("angle 50x50x5", "L 50x50x5"),
        ("L 60x40x5", "L 60x40x5"),
        ("50x6 flat", "FL 50x6"),
        ("upn80", "UPN 80"),
        ("20 mm round bar", "RD 20"),
        ("sq20", "SQ 20"),
        ('2 x 2 x 1/8"', "HSS 2x2x1/8"),
        ('2" x 2" x 1/8"', "HSS 2x2x1/8"),
        ("HSS 2x2x.125", "HSS 2x2x1/8"),
        ("2x2x1/8 A500 square tube", "HSS 2x2x1/8"),
        ("2x2x11 ga", "TUBE 2x2x11ga"),
        ("tube 2x2x0.120", "TUBE 2x2x11ga"),
        ("1 1/2 x 1 1/2 x 14 gauge", "TUBE 1-1/2x1-1/2x14ga"),
        ("L2x2x1/8", "L2x2x1/8"),
        ("l 1 1/2 x 1 1/2 x 1/8", "L1-1/2x1-1/2x1/8"),
        ("2x1/4 flat bar", "FB 2x1/4"),
        ("c3 x 4.1", "C3x4.1"),
        ("3/4 in round bar", "RB 3/4"),
        ("1 in square bar", "SB 1"),
        ("pipe 1 1/2 std", "PIPE 1-1/2 STD"),
    ],
)
def test_typed_names(typed: str, meant: str) -> None:
    assert profile(typed).id == meant


def test_every_id_finds_itself() -> None:
    for name in profiles():
        assert summary(name).id == name
        assert summary(name.lower().replace("x", " × ")).id == name


@pytest.mark.parametrize(
    ("typed", "hint"),
    [
        ("SHS 50x50x7", "SHS 50x50x5"),
        ("50x50", "SHS 50x50x2"),
        ("L 50x50", "L 50x50x4"),
        ("HSS 2x2x1/7", "HSS 2x2x1/8"),
        ("60x40x3 square tube", "SHS 50x50x3"),
        ("IPE 80", "did you mean"),
        ("2x1/4x99ga", "FB 2x1/4"),
        ("SHS 1/0x2x2", "did you mean"),
        ("banana", "names begin with"),
        ("", "names begin with"),
    ],
)
def test_unknown_profile_gets_one_sentence_with_the_nearest(typed: str, hint: str) -> None:
    with pytest.raises(CatalogueError) as caught:
        profile(typed)
    message = str(caught.value)
    assert hint.lower() in message.lower()
    assert "\n" not in message
    with pytest.raises(KeyError):
        summary(typed)


def test_profile_is_built_once() -> None:
    assert profile("SHS 50x50x3") is profile("50x50x3 mm")


def test_summary_agrees_with_the_profile() -> None:
    for name in profiles():
        s, p = summary(name), profile(name)
        assert (s.shape, s.system, s.standard) == (p.shape, p.system, p.standard)
        assert (s.height, s.width, s.wall, s.kg_per_m) == (p.height, p.width, p.wall, p.kg_per_m)


def test_steels() -> None:
    assert set(steels()) == {"S235", "S275", "S355", "A36", "A500 Gr B", "A500 Gr C", "A513 1020"}
    assert steel("a500 gr. b").id == "A500 Gr B"
    assert steel("S355H").id == "S355"
    for name in steels():
        s = steel(name)
        assert 0.0 < s.fy < s.fu
        # isotropic: nu = E / 2G - 1 near 0.3
        assert s.e / (2.0 * s.g) - 1.0 == pytest.approx(0.3, abs=0.01)
        assert s.source
    with pytest.raises(CatalogueError, match="S235"):
        steel("S2355")


def test_sheets() -> None:
    assert sheet("3 mm") is sheet("3mm") is sheet("3")
    assert sheet("11 ga") is sheet("11ga") is sheet("11 gauge")
    assert sheet('1/4"') is sheet("1/4 inch plate")
    assert set(sheets("metric")) | set(sheets("inch")) == set(sheets())
    with pytest.raises(CatalogueError, match=r"Did you mean '3 mm'"):
        sheet("3.2 mm")
    with pytest.raises(CatalogueError, match=r"Did you mean '1/4 in'"):
        sheet('17/64"')
    for nonsense in ("", "thick", "1/0 in", "-"):
        with pytest.raises(CatalogueError):
            sheet(nonsense)


def test_tube_gauge_is_not_sheet_gauge() -> None:
    tube = profile("TUBE 2x2x11ga")
    assert tube.wall == pytest.approx(0.120 * 25.4)
    assert sheet("11 ga").thickness == pytest.approx(0.1196 * 25.4)
    assert "gauge" in tube.note


def test_threads() -> None:
    assert thread("m10") is thread("M10x1.5") is thread("M 10")
    assert thread("m12 x 1.25").pitch == 1.25
    assert thread("1/2-13 UNC") is thread("1/2 - 13")
    assert thread("1/2-13") is not thread("1/2-20")
    assert set(threads("metric")) | set(threads("inch")) == set(threads())
    for name in threads():
        t = thread(name)
        assert t.root_diameter < t.tap_drill < t.diameter < t.fine < t.medium < t.coarse < t.across_flats
    with pytest.raises(CatalogueError, match="M10"):
        thread("M11")


def test_design_wall_of_a500_is_told() -> None:
    p = profile("HSS 2x2x1/8")
    assert p.wall == pytest.approx(3.175)
    assert p.wall_design == pytest.approx(0.93 * 3.175)
    assert "0.93" in p.note and "0.93" in p.properties.origin
    # mass stays nominal: 2 x 2 x 1/8 is bought and carried at 3.05 lb/ft
    assert p.kg_per_m > p.properties.area * 7850e-6 * 1.04

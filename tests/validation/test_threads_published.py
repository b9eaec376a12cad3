"""Threads: clearance holes, tap drills, stress areas, roots, nuts.

@book{machinery, title = {Machinery's Handbook}, edition = {31}, note = {pages 1741 to 1743: ASME B18.2.8}}
@misc{iso273, title = {ISO 273: clearance holes}, note = {as printed on a fastener dealer's page}}
@misc{iso898, title = {ISO 898-1, table 4: nominal stress areas}, note = {from memory}}
Tap drills, roots and nuts from memory of the usual drill charts (ISO 4032, ASME B1.1, B18.2.2).
The handbook prints the smallest loose hole: 1/4 .297, 5/16 .359, 3/8 .422, 7/16 .484, 1/2 .609, 5/8 .734.
"""

from __future__ import annotations

import pytest

from framecore.catalogue import thread
from tests.validation.published import Published
from tests.validation.record import agree

ISO273 = "ISO 273"
# fine, medium, coarse; tap drill; stress area; nut across flats
METRIC = {
    "M6": (("6.4", "6.6", "7"), "5.0", "20.1", "10"),
    "M8": (("8.4", "9", "10"), "6.8", "36.6", "13"),
    "M10": (("10.5", "11", "12"), "8.5", "58.0", "16"),
    "M12": (("13", "13.5", "14.5"), "10.2", "84.3", "18"),
    "M14": (("15", "15.5", "16.5"), "12.0", "115", "21"),
    "M16": (("17", "17.5", "18.5"), "14.0", "157", "24"),
    "M18": (("19", "20", "21"), "15.5", "192", "27"),
    "M20": (("21", "22", "24"), "17.5", "245", "30"),
    "M10x1": (("10.5", "11", "12"), "9.0", "64.5", "16"),
    "M12x1.25": (("13", "13.5", "14.5"), "10.8", "92.1", "18"),
}
# close, normal, loose; tap drill; stress area in2; minor diameter in; nut
INCH = {
    "1/4-20": (("0.266", "0.281", "0.297"), "0.201", "0.0318", "0.1887", "0.4375"),
    "5/16-18": (("0.328", "0.344", "0.359"), "0.257", "0.0524", "0.2443", "0.500"),
    "3/8-16": (("0.391", "0.406", "0.422"), "0.3125", "0.0775", "0.2983", "0.5625"),
    "7/16-14": (("0.453", "0.469", "0.484"), "0.368", "0.1063", "0.3499", "0.6875"),
    "1/2-13": (("0.531", "0.562", "0.609"), "0.4219", "0.1419", "0.4056", "0.750"),
    "5/8-11": (("0.656", "0.688", "0.734"), "0.5312", "0.226", "0.5135", "0.9375"),
    "3/4-10": (("0.781", "0.812", "0.906"), "0.6562", "0.334", "0.6273", "1.125"),
    "1/2-20": (("0.531", "0.562", "0.609"), "0.4531", "0.1599", "0.4387", "0.750"),
}


@pytest.mark.parametrize("name", METRIC)
def test_metric(name: str) -> None:
    holes, tap, area, flats = METRIC[name]
    t = thread(name)
    for printed, got in zip(holes, (t.fine, t.medium, t.coarse), strict=True):
        Published(quantity=f"{name} hole", printed=f"{float(printed):.1f}", source=ISO273).check(got)
    Published(quantity=f"{name} tap", printed=tap, source="drill chart, from memory").check(t.tap_drill)
    Published(quantity=f"{name} area", printed=area, source="ISO 898-1, from memory").check(t.stress_area)
    Published(quantity=f"{name} nut", printed=flats, source="ISO 4032, from memory").check(t.across_flats)


@pytest.mark.parametrize("name", INCH)
def test_inch(name: str) -> None:
    holes, tap, area, root, flats = INCH[name]
    t = thread(name)
    even = "a fraction that ends in 5 is printed rounded to even"
    for printed, got in zip(holes, (t.fine, t.medium, t.coarse), strict=True):
        Published(
            quantity=f"{name} hole", printed=printed, source="ASME B18.2.8", note=even, widen=1e-6
        ).check(got / 25.4)
    Published(quantity=f"{name} tap", printed=tap, source="drill chart", note=even, widen=1e-6).check(
        t.tap_drill / 25.4
    )
    cut = "the table cuts the last digit"
    Published(
        quantity=f"{name} area", printed=area, source="ASME B1.1, from memory", note=cut, widen=1e-4
    ).check(t.stress_area / 25.4**2)
    Published(quantity=f"{name} root", printed=root, source="ASME B1.1, from memory").check(
        t.root_diameter / 25.4
    )
    Published(quantity=f"{name} nut", printed=flats, source="ASME B18.2.2, from memory").check(
        t.across_flats / 25.4
    )


@pytest.mark.parametrize(
    ("name", "close", "normal", "loose"),
    [("3/8-16", 9.9, 10.2, 10.5), ("1/2-13", 13.5, 14.25, 15.5), ("5/8-11", 16.75, 17.5, 18.5)],
)
def test_inch_holes_as_metric_drills(name: str, close: float, normal: float, loose: float) -> None:
    # the handbook's metric drill for the same hole is the next one in stock: within 0.25 mm
    t = thread(name)
    agree(t.fine, close, abs=0.25)
    agree(t.medium, normal, abs=0.25)
    agree(t.coarse, loose, abs=0.25)


@pytest.mark.parametrize("name", [*METRIC, *INCH])
def test_tap_drill_leaves_a_sound_thread(name: str) -> None:
    # drill charts aim for 75 % of the full thread (1.299 p off the diameter), some sizes reach 80 %
    t = thread(name)
    engaged = (t.diameter - t.tap_drill) / (1.299 * t.pitch)
    assert 0.70 <= engaged <= 0.82
    assert t.tap_drill > t.root_diameter

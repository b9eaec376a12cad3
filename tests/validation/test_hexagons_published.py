"""Nuts and bolt heads: heights as the standards print them.

@misc{iso4032, title = {ISO 4032, ISO 4035: greatest height m of hexagon nuts and thin nuts}, note = {from memory}}
@misc{iso4014, title = {ISO 4014, ISO 4017: nominal head height k; b = 2 d + 6, + 12, + 25}, note = {from memory}}
@misc{b1822, title = {ASME B18.2.2: hex and jam nuts; ASME B18.2.1: heads; limits of height}, note = {from memory}}
"""

from __future__ import annotations

import pytest

from framecore.catalogue import thread
from framecore.seat.hardware import INCH, bolt_head, full_nut, thin_nut, thread_length
from tests.validation.published import Published
from tests.validation.record import agree

# nut, thin nut, head, mm; length of thread on bolts 80 and 150 long
METRIC = {
    "M6": ("5.2", "3.2", "4.0", "18", "24"), "M8": ("6.8", "4.0", "5.3", "22", "28"),
    "M10": ("8.4", "5.0", "6.4", "26", "32"), "M12": ("10.8", "6.0", "7.5", "30", "36"),
    "M16": ("14.8", "8.0", "10.0", "38", "44"), "M20": ("18.0", "10.0", "12.5", "46", "52"),
}  # fmt: skip
# Greatest and least height of nut, jam nut and head, inches.
INCHES = {
    "1/4-20": ((0.226, 0.212), (0.163, 0.150), (0.163, 0.150)), "5/16-18": ((0.273, 0.258), (0.195, 0.180), (0.211, 0.195)),
    "3/8-16": ((0.337, 0.320), (0.227, 0.210), (0.243, 0.226)), "1/2-13": ((0.448, 0.427), (0.323, 0.302), (0.323, 0.302)),
    "5/8-11": ((0.559, 0.535), (0.387, 0.363), (0.403, 0.378)), "3/4-10": ((0.665, 0.617), (0.446, 0.398), (0.483, 0.455)),
}  # fmt: skip


@pytest.mark.parametrize("name", METRIC)
def test_metric_nuts_and_heads(name: str) -> None:
    nut, thin, head, short, long = METRIC[name]
    t = thread(name)
    for what, printed, ours, source in (
        ("nut height", nut, full_nut(name).height, "ISO 4032, from memory"),
        ("thin nut height", thin, thin_nut(name).height, "ISO 4035, from memory"),
        ("head height", head, bolt_head(name).height, "ISO 4014, from memory"),
        ("thread on 80 mm", short, thread_length(t, 80.0), "ISO 4014, from memory"),
        ("thread on 150 mm", long, thread_length(t, 150.0), "ISO 4014, from memory"),
    ):
        Published(quantity=f"{name} {what}", printed=printed, source=source).check(ours)


@pytest.mark.parametrize("name", INCHES)
def test_inch_nuts_and_heads_lie_between_the_printed_limits(name: str) -> None:
    ours = (full_nut(name), thin_nut(name), bolt_head(name))
    for what, (most, least), hexagon in zip(("nut", "jam nut", "head"), INCHES[name], ours, strict=True):
        agree(
            hexagon.height / INCH, (most + least) / 2, abs=(most - least) / 2, what=f"{name} {what} height",
            source="middle of the limits of ASME B18.2.2 and B18.2.1, from memory",
        )  # fmt: skip

"""Briefs that are readable but oddly made: what is edited on top can always be written, and reads back as it was meant."""

from __future__ import annotations

import itertools

import pytest

from framecore.brief.document import parse_source

ODD = (
    "format = 1\nframe = 3\n", "format = 1\n[[frame]]\nheight = 3\n", "format = 1\nframe = []\n", "frame.height = 3\n",
    "frame = {height = 3}\n", "[frame]\nsections = 3\n", '[frame.sections]\nlegs = "a"\n[frame]\nheight = 3\n',
    "\r\n[machine]\r\nmass = 3\r\n", "# only\n", "[machine]\nholes = [\n[1, 2], # a\n[3, 4],\n]\n",
)  # fmt: skip
EDITS = (
    ("frame.height", 700), ("frame.sections.legs", "SHS 40x40x3"), ("machine.mass", 3), ("title", "t"), ("frame.height", None),
    ("frame.sections.legs", None), ("machine.holes", ((0, 0), (1.5, 2))), ("machine.outline", [{"name": "b", "at": [1, 2, 3]}]),
)  # fmt: skip


def meant(values):
    """The values without empty tables, tuples as lists: what TOML can say."""
    if isinstance(values, dict):
        return {k: m for k, v in values.items() if (m := meant(v)) != {}}
    return [meant(v) for v in values] if isinstance(values, (tuple, list)) else values


@pytest.mark.parametrize("text", ODD, ids=range(len(ODD)))
def test_edits_on_an_odd_brief_can_be_written(text):
    opened, _ = parse_source(text)
    for (one, first), (other, second) in itertools.product(EDITS, EDITS):
        edited = opened.with_value(one, first).with_value(other, second)
        again, findings = parse_source(edited.text())
        assert not findings, (one, other)
        assert meant(again.values) == meant(edited.values), (one, first, other, second)


def test_half_a_sign_does_not_hinder_saving():
    edited = parse_source("format = 1\n")[0].with_value("title", "a\ud83d b")
    assert parse_source(edited.text().encode("utf-8"))[0].value("title") == "a\ufffd b"

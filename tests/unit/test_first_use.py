"""Packages whose names are loaded when they are first asked for."""

from importlib import import_module

import pytest

from framecore.brief import read_brief
from framecore.frame import LAYOUTS


@pytest.mark.parametrize("package", ["framecore", "framecore.cutting", "framecore.strength"])
def test_every_name_is_there_when_it_is_asked_for(package):
    module = import_module(package)
    for name in module.__all__:
        assert getattr(module, name) is not None


def test_a_name_that_is_nowhere_is_told_as_python_does():
    with pytest.raises(AttributeError, match=r"module 'framecore\.cutting' has no attribute 'plan_cloth'"):
        _ = import_module("framecore.cutting").plan_cloth


@pytest.mark.parametrize("layout", LAYOUTS)
def test_a_layout_is_found_under_its_own_name(layout):
    brief = read_brief(f'format = 1\n[frame]\nlayout = "{layout}"\n').brief
    assert LAYOUTS[layout](brief, 800.0).layout == layout


def test_every_layout_of_the_brief_can_be_drafted():
    from framecore.brief import FIELDS

    options = next(f for f in FIELDS if f.path == "frame.layout").kind.options
    assert set(LAYOUTS) == set(options)

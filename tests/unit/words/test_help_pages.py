"""The pages of help that are translated explain the same things as the English ones."""

from __future__ import annotations

import re
from importlib import resources

import pytest

HELP = resources.files("resources.help")


@pytest.mark.parametrize("name", ["figures.md", "inputs.md"])
@pytest.mark.parametrize("language", ["de"])
def test_a_translated_page_has_the_same_sections(name, language):
    ours, theirs = (p.read_text("utf-8") for p in (HELP.joinpath(name), HELP.joinpath(language, name)))
    for what in (r"^## .*$", r"^Good: |^From: "):
        assert re.findall(what, ours, re.M) == re.findall(what, theirs, re.M)

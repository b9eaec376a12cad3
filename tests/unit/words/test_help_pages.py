"""The pages of help that are translated explain the same things as the English ones."""

from __future__ import annotations

import re
from importlib import resources

import pytest

from app.window.help_menu import PAGES
from tests.validation.page_said import page_said, unsaid

HELP = resources.files("resources.help")


@pytest.mark.parametrize("name", ["figures.md", "inputs.md"])
@pytest.mark.parametrize("language", ["de"])
def test_a_translated_page_has_the_same_sections(name, language):
    ours, theirs = (p.read_text("utf-8") for p in (HELP.joinpath(name), HELP.joinpath(language, name)))
    for what in (r"^## .*$", r"^Good: |^From: "):
        assert re.findall(what, ours, re.M) == re.findall(what, theirs, re.M)


@pytest.mark.parametrize("name", PAGES)
@pytest.mark.parametrize("language", ["de"])
def test_every_page_of_the_help_is_there(name, language):
    assert HELP.joinpath(language, name).is_file()


@pytest.mark.parametrize("language", ["de"])
def test_the_outside_checks_are_the_same_run_said(language):
    ours, theirs = (p.read_text("utf-8") for p in (HELP.joinpath("validation.md"), HELP.joinpath(language, "validation.md")))
    assert unsaid(ours, language) == []
    assert page_said(ours, language) == theirs

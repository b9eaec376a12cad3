"""The brief file: kept spelling, edits, malformed content, one-stroke saving."""

from __future__ import annotations

import os

import pytest

from framecore.brief.document import parse_source, save_brief
from framecore.errors import BriefError

TEXT = """# my stand
format = 1
[frame]
length = "39 3/8 in"   # as the garage allows
height = "from elbow"
"""


def source(text=TEXT):
    found, findings = parse_source(text)
    assert not findings
    return found


def test_untouched_text_comes_back_to_the_letter():
    assert source().text() == TEXT


def test_an_edit_changes_its_value_alone():
    text = source().with_value("frame.height", "29 1/2 in").text()
    assert text == TEXT.replace('"from elbow"', '"29 1/2 in"')


def test_new_table_and_removal():
    changed = source().with_value("machine.mass", 120.0).with_value("frame.length", None)
    again = source(changed.text())
    assert again.value("machine.mass") == 120.0
    assert again.value("frame.length") is None
    assert "# my stand" in changed.text()


def test_source_itself_never_changes():
    first = source()
    first.with_value("frame.height", 800.0)
    assert first.value("frame.height") == "from elbow"


@pytest.mark.parametrize(
    "content",
    [
        b"\xff\xfe\x00a", b"x" * 2_000_000, "a = " + "[" * 5000, "a = 1\na = 2", "[frame\nx=1", "a = \x00", "= 3",
        "a = {b = 1", "[[a]]\n[a]\n", "a = 99-99-99",
    ],
)  # fmt: skip
def test_malformed_content_gets_a_sentence(content):
    found, findings = parse_source(content)
    assert found is None
    assert len(findings) == 1
    assert findings[0].message.endswith(".")
    assert "Traceback" not in findings[0].message


def test_saving_is_one_stroke(tmp_path):
    path = tmp_path / "a.toml"
    save_brief(source(), path)
    assert path.read_text() == TEXT
    assert os.listdir(tmp_path) == ["a.toml"]


def test_a_folder_that_is_not_there_is_one_sentence(tmp_path):
    with pytest.raises(BriefError, match="could not be saved"):
        save_brief(source(), tmp_path / "none" / "a.toml")

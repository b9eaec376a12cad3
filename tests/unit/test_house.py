"""The house rules that a machine can check: walls between packages, types, style, README and samples."""

from __future__ import annotations

import ast
import re
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]


def run(*command: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)


@pytest.mark.parametrize(
    "command",
    [
        ("-m", "ruff", "check", "--no-cache", "."),
        ("-m", "mypy", "--cache-dir=/dev/null" if sys.platform != "win32" else "--cache-dir=nul"),
        ("-c", "from importlinter.cli import lint_imports_command as c; c(['--no-cache'])"),
    ],
    ids=["style", "types", "walls"],
)
def test_checker_is_content(command):
    done = run(sys.executable, *command)
    assert done.returncode == 0, done.stdout + done.stderr


def test_core_alone_loads_no_toolkit():
    code = "import sys, framecore.stand, framecore.sheets; print(any(m.startswith('PySide6') for m in sys.modules))"
    assert run(sys.executable, "-c", code).stdout.strip() == "False"


def test_readme_has_one_command_to_run_and_one_to_test():
    text = (ROOT / "README.md").read_text()
    blocks = re.findall(r"```sh\n(.*?)```", text, re.S)
    assert len(blocks) == 2
    assert all(len(b.strip().splitlines()) == 1 for b in blocks)


def test_the_page_of_outside_checks_has_a_section_for_each_file_that_compares():
    """Written anew by the outside checks (DEVELOPERS.md); a file that is added or renamed must show there."""
    page = ROOT.joinpath("resources/help/validation.md").read_text(encoding="utf-8")
    headings = {line.removeprefix("## ") for line in page.splitlines() if line.startswith("## ")}
    wanted = set()
    for path in ROOT.joinpath("tests/validation").glob("test_*.py"):
        text = path.read_text(encoding="utf-8")
        if "agree(" in text or ".check(" in text:
            doc = ast.get_docstring(ast.parse(text)) or ""
            wanted.add(doc.partition("\n")[0].rstrip("."))
    assert headings == wanted

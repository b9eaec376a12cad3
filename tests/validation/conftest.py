"""Keeps what the outside checks compare; STANDWRIGHT_VALIDATION_PAGE has them write the page of it, in every language."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from tests.validation import record
from tests.validation.page_said import page_said


@pytest.fixture(autouse=True)
def _named(request: pytest.FixtureRequest) -> None:
    record.running(request.node)


def pytest_sessionfinish(session: pytest.Session, exitstatus: int) -> None:
    path = os.environ.get("STANDWRIGHT_VALIDATION_PAGE")
    if path and exitstatus == 0 and record.ROWS:
        page = record.page(record.ROWS)
        Path(path).write_text(page, encoding="utf-8")
        for own in Path(path).parent.glob(f"??/{Path(path).name}"):  # the same run in the other languages
            own.write_text(page_said(page, own.parent.name), encoding="utf-8")

"""Keeps what the outside checks compare; with STANDWRIGHT_VALIDATION_PAGE set they write the validation page."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from tests.validation import record


@pytest.fixture(autouse=True)
def _named(request: pytest.FixtureRequest) -> None:
    record.running(request.node)


def pytest_sessionfinish(session: pytest.Session, exitstatus: int) -> None:
    path = os.environ.get("STANDWRIGHT_VALIDATION_PAGE")
    if path and exitstatus == 0 and record.ROWS:
        Path(path).write_text(record.page(record.ROWS), encoding="utf-8")

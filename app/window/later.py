"""What is loaded once the window has been painted, so that no hand waits for it when it is first used."""

from __future__ import annotations

from collections.abc import Iterator
from importlib import import_module

# What a first edit and a first grip need. What a menu opens may take the moment it takes, and is not loaded at all until then.
MODULES = ("tomlkit", "app.view3d.editing")


def load_rest() -> Iterator[None]:
    """Load one module a step."""
    for name in MODULES:
        import_module(name)
        yield

"""Names of a package that are loaded when first asked for: what the first picture of a stand does without."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from importlib import import_module
from typing import Any


def at_first_use(package: str, names: Mapping[str, str]) -> Callable[[str], Any]:
    """Return the ``__getattr__`` of a package: each of ``names`` is taken from its module when it is first asked for.

    Beside it the package imports the same names under ``TYPE_CHECKING``, for the types and for the tests of the walls.
    """

    def get(name: str) -> Any:
        if name not in names:
            raise AttributeError(f"module {package!r} has no attribute {name!r}")
        return getattr(import_module(names[name]), name)

    return get

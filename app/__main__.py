"""Start: ``standwright`` or ``python -m app``."""

from __future__ import annotations

import sys

import framecore  # noqa: F401  sets the number of BLAS threads before numpy is imported
from app.cli.main import run


def main() -> int:
    """Run with the arguments of the process; the exit code is the answer."""
    return run(sys.argv[1:])


if __name__ == "__main__":
    sys.exit(main())

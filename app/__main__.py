"""Start: ``standwright`` or ``python -m app``."""

from __future__ import annotations

import sys

import framecore  # noqa: F401  sets the number of BLAS threads before numpy is imported
from app.cli.main import run


def main() -> int:
    """Run with the arguments of the process; the exit code is the answer."""
    if getattr(sys, "frozen", False):
        # In a bundle a worker process is this program started again; it goes to its work from here.
        from multiprocessing import freeze_support

        freeze_support()
    return run(sys.argv[1:])


if __name__ == "__main__":
    sys.exit(main())

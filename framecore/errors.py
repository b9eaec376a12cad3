"""The exception tree of the core and the finding, its gentler sibling.

::

    FramecoreError
    ├── UnitError(ValueError)        a length, mass, ... nobody can read
    ├── CatalogueError(KeyError)     no such profile, steel, thread
    ├── Refusal(ValueError)          one value of a brief cannot be meant; the reader makes a finding of it
    ├── BriefError(ValueError)       the brief cannot give a stand; carries every finding
    ├── LayoutError(ValueError)      a frame cannot be drawn at all
    ├── SolverError(ArithmeticError) the stiffness matrix is singular; names the free node
    └── CuttingError(ValueError)     a piece longer than every bar

A *finding* is something to tell the maker; an exception is raised only where no answer is possible.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Severity(StrEnum):
    """How bad a finding is."""

    STOP = "stop"  # no stand, or one that must not be built
    LOOK = "look"  # buildable, worth a second look


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One sentence for the maker: what is wrong, where, what is allowed, what to do.

    Attributes
    ----------
    code : stable dotted lower-case name of the rule, e.g. ``"brief.range"``, ``"frame.hole_off_bearer"``.
    message : one complete sentence, ready to show.
    field : dotted path of the brief's key it belongs to (``"frame.height"``), or "".
    line : line in the brief file, 1 based; 0 where unknown.
    allowed : the allowed range or choices in words, or "".
    nearest : the nearest sensible value as the maker would type it, or "".
    member : name of the member or plate it concerns, or "".
    """

    code: str
    message: str
    severity: Severity = Severity.STOP
    field: str = ""
    line: int = 0
    allowed: str = ""
    nearest: str = ""
    member: str = ""


class FramecoreError(Exception):
    """Base of everything the core raises on purpose."""


class UnitError(FramecoreError, ValueError):
    """Text that is not a quantity of the wanted kind."""


class CatalogueError(FramecoreError, KeyError):
    """A name that is not in the catalogue; the message suggests the nearest, the second argument is its name."""

    def __str__(self) -> str:
        return str(self.args[0]) if self.args else ""

    @property
    def nearest(self) -> str:
        """The nearest name there is, or ""."""
        return str(self.args[1]) if len(self.args) > 1 else ""


class Refusal(FramecoreError, ValueError):  # noqa: N818  it is no fault of the program
    """A typed value nobody can mean: what follows the key's name in the sentence, what is ``allowed``, the ``nearest``."""

    def __init__(self, message: str, allowed: str = "", nearest: str = "") -> None:
        super().__init__(message)
        self.allowed, self.nearest = allowed, nearest


class BriefError(FramecoreError, ValueError):
    """A brief that gives no stand; ``findings`` lists every reason."""

    def __init__(self, findings: tuple[Finding, ...]) -> None:
        super().__init__("; ".join(f.message for f in findings))
        self.findings = findings


class LayoutError(FramecoreError, ValueError):
    """The frame cannot be drawn; ``findings`` says which member and the cure."""

    def __init__(self, findings: tuple[Finding, ...]) -> None:
        super().__init__("; ".join(f.message for f in findings))
        self.findings = findings


class SolverError(FramecoreError, ArithmeticError):
    """A singular or unusable stiffness matrix."""


class CuttingError(FramecoreError, ValueError):
    """A cutting task without any plan."""

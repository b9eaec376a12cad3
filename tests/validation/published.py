"""A number somebody else printed, and what agreeing with it means.

The tolerance is half the last printed digit, so nobody can pick it; ``widen`` adds a relative share and is
refused without a note that says why.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from tests.validation.record import record


def half_last_digit(printed: str) -> float:
    """Half a unit of the last digit: "6.61" gives 0.005, "1650" gives 0.5."""
    exponent = Decimal(printed).as_tuple().exponent
    assert isinstance(exponent, int), printed
    return 0.5 * 10.0**exponent


@dataclass(frozen=True, slots=True, kw_only=True)
class Published:
    """One printed number in its own unit, where it is printed, and why a wider tolerance is fair."""

    quantity: str
    printed: str
    source: str
    note: str = ""
    widen: float = 0.0

    def __post_init__(self) -> None:
        if self.widen and not self.note:
            raise ValueError(f"{self.quantity}: a wider tolerance needs a note")

    @property
    def value(self) -> float:
        return float(self.printed)

    @property
    def tolerance(self) -> float:
        return half_last_digit(self.printed) * (1.0 + 1e-9) + self.widen * abs(self.value)

    def check(self, got: float) -> None:
        """Fail unless ``got`` (in the printed unit) rounds to what is printed, widened where noted."""
        record(self.quantity, self.value, got, self.tolerance, self.source, self.note)
        assert abs(got - self.value) <= self.tolerance, (
            f"{self.quantity}: got {got:.6g}, printed {self.printed} +- {self.tolerance:.3g} "
            f"({self.source}) {self.note}"
        )

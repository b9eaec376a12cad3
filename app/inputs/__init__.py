"""What the maker tells us: one row a key of the brief."""

from app.inputs.panel import InputsPanel

__all__ = ["InputsPanel"]

"""How anything gets onto paper: primitives, pens, lettering, dimensions, labels, hidden lines."""

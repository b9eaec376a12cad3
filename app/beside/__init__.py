"""Work in a process of its own, beside the window. ``serve`` knows no toolkit, so that the process starts quickly."""

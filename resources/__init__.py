"""Data read through importlib.resources: tables, fonts, typical values, the default sample."""

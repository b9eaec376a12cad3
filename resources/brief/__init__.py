"""Typical values of the brief."""

"""Sheets on the screen, before they are saved."""

"""The weld map: seams, symbols, list, key."""

"""Single parts: pieces to saw, plates and flat patterns, turned parts, and their files."""

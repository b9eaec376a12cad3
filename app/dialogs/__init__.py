"""Small windows: about, unsaved changes, a fault."""

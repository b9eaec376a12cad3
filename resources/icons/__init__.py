"""Small pictures of the window."""

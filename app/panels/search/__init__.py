"""The search for better stands, beside the view."""

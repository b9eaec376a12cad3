"""A brief and what may vary: better stands."""

"""What the stand answers: figures, cut plan, cut list, findings."""

"""Scales: their doubt, the height of the center of gravity, and a ticket against the lists."""

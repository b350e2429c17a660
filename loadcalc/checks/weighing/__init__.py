"""Scales: their margin of error, the height of the center of gravity, and a ticket against the lists."""

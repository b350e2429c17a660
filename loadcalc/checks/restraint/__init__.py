"""Tie-downs by two published benches, side by side."""

"""Tie-downs by two published rule sets, side by side."""

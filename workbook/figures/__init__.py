"""Figures: each answers one question, which is its title. What to show is decided by plain functions."""

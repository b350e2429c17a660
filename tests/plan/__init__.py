"""Advice, roof layout, sweeps, margin of error."""

"""Page 06: two loadouts side by side, sweeps, and the margin of error."""

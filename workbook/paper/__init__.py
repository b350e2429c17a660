"""The load-up sheet: one page to print."""

"""The checks, by published values, by hand, by properties, and by independent engines."""

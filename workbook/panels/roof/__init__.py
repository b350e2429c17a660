"""Page 05: the roof seen from above, its bars, what must be lifted, and gas."""

"""Page 04: tipping, slopes, hitch, tires, and the height of the center of gravity."""

"""A board of named sliders whose numbers can be typed."""

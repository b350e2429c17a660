"""The roof carrier seen from above: where things lie, what they cover, and how they could be arranged."""

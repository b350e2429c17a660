"""Plans: what to move, what to leave behind, and how to lay out the roof carrier."""

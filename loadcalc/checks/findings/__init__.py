"""One judgment of a departure: everything that is the matter with it, in order of weight."""

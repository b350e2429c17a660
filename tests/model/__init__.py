"""Records and quantities."""

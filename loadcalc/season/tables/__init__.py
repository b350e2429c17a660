"""Every table of a season as CSV or XLSX, out and in again: strict columns, one row a thing, known by its key."""

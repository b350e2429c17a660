"""Page 08: the ledger, its trips, checks, copies, and tables."""

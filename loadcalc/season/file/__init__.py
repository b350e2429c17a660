"""The season file: one SQLite ledger, its seals, and what it adds up to."""

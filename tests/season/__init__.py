"""The season: ledger, copies, upgrades, damage, undo."""

"""Pages 00 and 03: what the loadout on the desk consumes, and where it rides."""

"""The one idea: each rating is a row of one matrix; what counts against it, and the judgment of a loadout."""

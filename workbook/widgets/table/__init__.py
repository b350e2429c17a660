"""The editable table: what a hand does in the browser, what its owner decides in Python."""

"""Edits: records built from what is kept, the rules for them, and the open season."""

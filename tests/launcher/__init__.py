"""The first command."""

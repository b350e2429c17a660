"""The tests. `python3 -m tests` runs them all; what follows is handed to pytest."""

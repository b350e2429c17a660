"""Random files and texts against everything that a season reads; see __main__.py."""

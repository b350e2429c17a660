"""Rules of the house: imports, docstrings, sources, pages, the workshop guide."""

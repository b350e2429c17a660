"""What the two commands do before the first page is seen: Python, `.venv`, pages, season, server.

Everything up to `lab.py` uses the standard library alone, because nothing is installed yet when it runs.
"""

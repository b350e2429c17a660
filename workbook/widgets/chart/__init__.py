"""A Plotly chart drawn from plain data."""

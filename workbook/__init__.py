"""The numbered pages and the panels, figures, widgets and launcher behind them.

Importing this package loads nothing else: `python3 -m workbook` must start on a Python with nothing installed.
"""

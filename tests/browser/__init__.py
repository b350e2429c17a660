"""Tests that drive the real workbook in a browser."""

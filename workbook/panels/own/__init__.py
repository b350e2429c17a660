"""Page 09: charts of one's own."""

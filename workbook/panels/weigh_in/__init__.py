"""Page 07: scale tickets, and what they say."""

"""Page 06: what to move or leave."""

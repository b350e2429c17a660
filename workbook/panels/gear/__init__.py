"""Page 02: gear, people, cans, seats, and lists that come from elsewhere."""

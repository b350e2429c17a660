"""What happened and what follows from it: events, trips, the past, checks due, departures."""

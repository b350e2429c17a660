"""Page 01: the vehicle, its roof rack or platform, its trailer, and their limits."""

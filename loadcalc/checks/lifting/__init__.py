"""What one person may be asked to lift, and which lift a box to its place is."""

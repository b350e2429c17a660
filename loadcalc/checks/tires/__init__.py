"""What a tire may carry: as marked, at less pressure, by axle, and the spare."""

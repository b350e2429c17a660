"""The carrier's bars and feet: a beam on several supports."""

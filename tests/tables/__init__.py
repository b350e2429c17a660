"""Tables and lists, in and out."""

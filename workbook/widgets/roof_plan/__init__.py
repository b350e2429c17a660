"""The roof from above, drawn to scale, whose boxes are dragged and keyed."""

"""Widgets of our own, a room each: a Python file with its `.js` and `.css` files beside it."""

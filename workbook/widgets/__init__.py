"""Widgets of our own: each is a Python file with its `.js` and `.css` files beside it."""

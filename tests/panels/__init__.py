"""What panels show, without a browser."""

"""The answer of a page: verdict, tightest ratings, findings, and the strip that follows when they are out of view."""

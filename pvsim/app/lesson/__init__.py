"""A lesson on the page."""

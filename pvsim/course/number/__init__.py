"""Computed numbers: what a lesson can name, and what it comes to."""

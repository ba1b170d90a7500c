"""A course folder: its files, its lessons, its checks."""

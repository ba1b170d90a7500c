"""Lessons whose words have not been looked through yet."""

TO_READ: set[str] = set()

"""Lesson text: its parts, and what in it is held to the solver."""

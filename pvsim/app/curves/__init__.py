"""Characteristics, what changed in them, how they are built, and the five levels beside them."""

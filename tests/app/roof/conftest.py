"""Pages with a drawing that a file's tests leave to one another open."""

from __future__ import annotations

from tests.app.left_open import left_open, left_open_pages

__all__ = ["left_open", "left_open_pages"]

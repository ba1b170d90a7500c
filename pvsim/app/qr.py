"""An address as a square for cameras."""

from __future__ import annotations

from functools import lru_cache

__all__ = ["qr_path"]


@lru_cache(maxsize=8)
def qr_path(url: str) -> tuple[int, str]:
    """An address as a square of dots: how many a side, and the path that draws the dark ones."""
    import segno  # only where a class is opened

    rows = [bytes(row) for row in segno.make(url, error="m", micro=False).matrix]
    path = "".join(f"M{x} {y}h1v1h-1z" for y, row in enumerate(rows) for x, dark in enumerate(row) if dark)
    return len(rows), path

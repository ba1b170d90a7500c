"""Numbers as people write them."""

from __future__ import annotations

from math import floor, log10

__all__ = ["decimals_for"]


def decimals_for(scale: float) -> int:
    """Decimals that show about four figures of a quantity as large as `scale`: one to three."""
    if not scale > 0.0:
        return 1
    return min(3, max(1, 3 - floor(log10(scale))))

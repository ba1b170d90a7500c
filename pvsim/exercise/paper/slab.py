"""Pieces of a page, each as high as it is, and how they are shared out over pages."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

__all__ = ["Slab", "gap", "paged"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Slab:
    """A piece of a page.

    Parameters
    ----------
    height : float
    draw : callable
        Draws it with its upper left corner at x, y.
    keep : bool
        Not at the foot of a page without what follows.
    space : bool
        Left out at the top of a page.
    """

    height: float
    draw: Callable[[float, float], None]
    keep: bool = False
    space: bool = False


def paged(slabs: Sequence[Slab], room: float) -> list[list[Slab]]:
    """Slabs by the page: those that are kept with the next go over together, if one page can hold them."""
    groups: list[list[Slab]] = [[]]
    for slab in slabs:
        groups[-1].append(slab)
        if not slab.keep:
            groups.append([])
    pages: list[list[Slab]] = [[]]
    used = 0.0
    for group in (one for one in groups if one):
        height = sum(slab.height for slab in group)
        pieces = [group] if height <= room else [[slab] for slab in group]
        for piece in pieces:
            high = sum(slab.height for slab in piece)
            ink = high - (piece[-1].height if piece[-1].space else 0.0)
            if pages[-1] and used + ink > room:
                pages.append([])
                used = 0.0
            for slab in piece:
                if slab.space and not pages[-1]:
                    continue
                pages[-1].append(slab)
                used += slab.height
    return [page for page in pages if any(not slab.space for slab in page)]


def gap(height: float) -> Slab:
    return Slab(height=height, draw=lambda _x, _y: None, space=True)

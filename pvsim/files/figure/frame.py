"""From values to places in a figure: axes, and curves cut where the axes end."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pvsim.circuit.floats import Floats
from pvsim.files.figure.drawing import Points


@dataclass(frozen=True, slots=True, kw_only=True)
class Axes:
    """A frame in px, y down, and the values at its edges."""

    left: float
    top: float
    right: float
    bottom: float
    x_least: float
    x_most: float
    y_least: float
    y_most: float

    def x(self, value: float) -> float:
        """Place of a value on the horizontal axis, in px."""
        return self.left + (value - self.x_least) / (self.x_most - self.x_least) * (self.right - self.left)

    def y(self, value: float) -> float:
        """Place of a value on the vertical axis, in px."""
        return self.bottom - (value - self.y_least) / (self.y_most - self.y_least) * (self.bottom - self.top)

    def holds(self, x: float, y: float) -> bool:
        """Whether a place in px lies inside the frame."""
        return self.left <= x <= self.right and self.top <= y <= self.bottom


def make_axes(
    frame: tuple[float, float, float, float], x: tuple[float, float], y: tuple[float, float]
) -> Axes:
    """Put values on a frame (left, top, right, bottom); an empty range is widened."""
    if x[1] - x[0] < 1e-9:
        x = (x[0] - 0.5, x[1] + 0.5)
    left, top, right, bottom = frame
    return Axes(
        left=left, top=top, right=right, bottom=bottom, x_least=x[0], x_most=x[1], y_least=y[0], y_most=y[1]
    )


def clip(axes: Axes, x: Floats, y: Floats) -> list[Points]:
    """Cut a polyline at the edges of the axes.

    Parameters
    ----------
    axes : Axes
        The frame.
    x, y : (n,)
        Values of the polyline's corners.

    Returns
    -------
    list of points
        The pieces inside, in px.

    Notes
    -----
    Each segment is cut by the parametric rule of Y.-D. Liang and B. A. Barsky,
    ACM Trans. Graph. 3 (1984) 1-22.
    """
    px = axes.left + (x - axes.x_least) / (axes.x_most - axes.x_least) * (axes.right - axes.left)
    py = axes.bottom - (y - axes.y_least) / (axes.y_most - axes.y_least) * (axes.bottom - axes.top)
    dx, dy = np.diff(px), np.diff(py)
    start, end = np.zeros(dx.size), np.ones(dx.size)
    outside = np.zeros(dx.size, dtype=bool)
    edges = (
        (-dx, px[:-1] - axes.left),
        (dx, axes.right - px[:-1]),
        (-dy, py[:-1] - axes.top),
        (dy, axes.bottom - py[:-1]),
    )
    for step, room in edges:
        with np.errstate(divide="ignore", invalid="ignore"):  # segments along an edge are sorted out below
            share = room / step
        start = np.where(step < 0, np.maximum(start, share), start)
        end = np.where(step > 0, np.minimum(end, share), end)
        outside |= (step == 0) & (room < 0)
    kept = np.flatnonzero(~outside & (start <= end))
    pieces: list[list[tuple[float, float]]] = []
    for k in kept.tolist():
        first = (float(px[k] + start[k] * dx[k]), float(py[k] + start[k] * dy[k]))
        last = (float(px[k] + end[k] * dx[k]), float(py[k] + end[k] * dy[k]))
        if not pieces or pieces[-1][-1] != first:
            pieces.append([first])
        pieces[-1].append(last)
    return [tuple(piece) for piece in pieces]

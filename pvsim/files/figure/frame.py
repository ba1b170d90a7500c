"""From values to places in a figure: a frame with its axes, and curves cut where the axes end."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pvsim.circuit.floats import Floats
from pvsim.files.figure.axis import Axis
from pvsim.files.figure.drawing import Points
from pvsim.files.figure.placer import Box

__all__ = ["Frame", "clip", "dense_points"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """A rectangle in px, y down, and the axes at its edges."""

    box: Box
    across: Axis
    up: Axis

    def x(self, value: float) -> float:
        """Place of a value on the horizontal axis, in px."""
        share = (value - self.across.least) / (self.across.most - self.across.least)
        return self.box.x + share * self.box.width

    def y(self, value: float) -> float:
        """Place of a value on the vertical axis, in px."""
        share = (value - self.up.least) / (self.up.most - self.up.least)
        return self.box.y + self.box.height - share * self.box.height

    def holds(self, x: float, y: float) -> bool:
        """Whether a place in px lies inside the frame."""
        box = self.box
        return box.x <= x <= box.x + box.width and box.y <= y <= box.y + box.height


def clip(frame: Frame, x: Floats, y: Floats) -> list[Points]:
    """Cut a polyline at the edges of a frame.

    Parameters
    ----------
    frame : Frame
        With the axes that the values belong to.
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
    box = frame.box
    right, bottom = box.x + box.width, box.y + box.height
    px = box.x + (x - frame.across.least) / (frame.across.most - frame.across.least) * box.width
    py = bottom - (y - frame.up.least) / (frame.up.most - frame.up.least) * box.height
    dx, dy = np.diff(px), np.diff(py)
    start, end = np.zeros(dx.size), np.ones(dx.size)
    outside = np.zeros(dx.size, dtype=bool)
    edges = (
        (-dx, px[:-1] - box.x),
        (dx, right - px[:-1]),
        (-dy, py[:-1] - box.y),
        (dy, bottom - py[:-1]),
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


def dense_points(line: Points, step_px: float = 5.0) -> Floats:
    """Points a few px apart along a polyline in px: what labels keep off.

    Returns
    -------
    (n, 2)
    """
    corners = np.array(line)
    steps = np.diff(corners, axis=0)
    along = np.concatenate([[0.0], np.cumsum(np.hypot(steps[:, 0], steps[:, 1]))])
    at = np.arange(0.0, along[-1] + step_px, step_px)
    return np.column_stack([np.interp(at, along, corners[:, k]) for k in (0, 1)])

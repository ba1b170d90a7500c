"""One module as it lies on the roof, for drawing: cells, ribbons, nodes and where its diodes go."""

from __future__ import annotations

from functools import lru_cache
from typing import Any

import numpy as np

from pvsim.array.layout import turned_rectangles
from pvsim.array.module import ModuleType, module_size

__all__ = ["module_shape"]

Point = tuple[float, float]

BUSBARS = (-0.27, 0.0, 0.27)  # places of the ribbons across a cell, as shares of its width
EDGE_SHARE = 0.12  # a node this near to an edge of the module is wired along that edge


@lru_cache(maxsize=64)
def module_shape(kind: ModuleType, turn_deg: int) -> dict[str, Any]:
    """Everything the drawing needs of one type of module, in mm from its top left corner.

    Parameters
    ----------
    kind : ModuleType
    turn_deg : 0, 90, 180 or 270
        How far the portrait drawing is turned clockwise.

    Returns
    -------
    dict
        width, height; `cells`, flat (left, top, width, height) by cell number; `cuts`, one hex
        digit a cell (bits 1, 2, 4, 8: corners cut off, clockwise from top left); `rows`, cell
        indices as the eye reads them; `ribbons` and `bars`, SVG paths; `substrings`, each with
        its cells, the paths of its chains, its nodes a (minus) and b (plus) and whether it has
        a diode; `rail`, the side its diodes are drawn at.
    """
    rectangles = turned_rectangles(kind, turn_deg) * 1000.0
    width, height = module_size(kind)
    size = (height, width) if turn_deg % 180 else (width, height)
    whole = (size[0] * 1000.0, size[1] * 1000.0)
    left, top, right, bottom = rectangles.T
    cells = np.stack([left, top, right - left, bottom - top], axis=1)
    wiring = _Wiring(kind, rectangles, whole)
    first = 0
    substrings = []
    for part in kind.substrings:
        lengths = [len(chain) for chain in part.chains]
        substrings.append(wiring.substring(first, lengths, part.diode is not None))
        first += sum(lengths)
    nodes = [node for part in substrings for node in (part["a"], part["b"])]
    return {
        "title": kind.title,
        "width": _n(whole[0]),
        "height": _n(whole[1]),
        "cells": [_n(value) for value in cells.ravel().tolist()],
        "cuts": _cuts(kind, turn_deg),
        "rows": _rows(rectangles),
        "ribbons": "".join(wiring.ribbons),
        "bars": "".join(wiring.bars),
        "substrings": substrings,
        "rail": _rail(nodes, cells, whole),
    }


class _Wiring:
    """Follows the chains of a module and gathers ribbons, cross connectors and nodes."""

    def __init__(self, kind: ModuleType, rectangles: np.ndarray, whole: Point) -> None:
        self.rectangles = rectangles
        self.whole = whole
        self.reach_mm = (kind.margin_m * 1000.0 * 0.55, kind.gap_m * 1000.0 * 0.5)
        self.centres = (rectangles[:, :2] + rectangles[:, 2:]) / 2.0
        self.ribbons: list[str] = []
        self.bars: list[str] = []
        steps = [np.abs(np.diff(self.centres[_span(s)], axis=0)) for s in _chain_spans(kind)]
        along = np.concatenate(steps) if steps else np.zeros((0, 2))
        # Ribbons run the way most steps from cell to cell go.
        self.axis = 0 if along.size and (along[:, 0] > along[:, 1]).sum() * 2 > len(along) else 1

    def substring(self, first: int, lengths: list[int], diode: bool) -> dict[str, Any]:
        """One substring: its chains side by side between two nodes."""
        chains, starts, ends, at = [], [], [], first
        for length in lengths:
            points = self._chain(range(at, at + length))
            chains.append(_path(points))
            starts.append(points[0])
            ends.append(points[-1])
            at += length
        return {
            "first": first,
            "count": at - first,
            "lengths": lengths,
            "chains": chains,
            "a": self._node(starts),
            "b": self._node(ends),
            "diode": diode,
        }

    def _chain(self, cells: range) -> list[Point]:
        """The way of the current through a chain, and on the way its ribbons and bars."""
        points: list[Point] = []
        direction = 0
        for run in self._runs(cells):
            direction = self._direction(run, -direction)
            start, end = self._end(run[0], -direction), self._end(run[-1], direction)
            self._ribbon(run, start, end)
            if points:
                self._bar(points[-1], start)
            points += [start, end]
        return points

    def _runs(self, cells: range) -> list[list[int]]:
        """Cells in one line, one after the other in one direction."""
        runs = [[cells[0]]]
        for cell in cells[1:]:
            run = runs[-1]
            aside = abs(self.centres[cell] - self.centres[run[-1]])[1 - self.axis]
            turned = len(run) > 1 and self._direction([run[-1], cell], 0) != self._direction(run, 0)
            if aside > 1.0 or turned:
                runs.append([cell])
            else:
                run.append(cell)
        return runs

    def _direction(self, run: list[int], otherwise: int) -> int:
        if len(run) < 2:
            return otherwise or 1
        return 1 if self.centres[run[-1]][self.axis] > self.centres[run[0]][self.axis] else -1

    def _end(self, cell: int, direction: int) -> Point:
        """Where the ribbon leaves a cell, a little beyond its edge."""
        edge = self.rectangles[cell][self.axis + (2 if direction > 0 else 0)]
        room = self.whole[self.axis] - edge if direction > 0 else edge
        reach = self.reach_mm[0] if room < 1.9 * self.reach_mm[0] else self.reach_mm[1]
        point = self.centres[cell].copy()
        point[self.axis] = edge + direction * reach
        return float(point[0]), float(point[1])

    def _across(self, cell: int, share: float) -> float:
        sides = self.rectangles[cell]
        return share * float(sides[3 - self.axis] - sides[1 - self.axis])

    def _ribbon(self, run: list[int], start: Point, end: Point) -> None:
        for share in BUSBARS:
            off = self._across(run[0], share)
            dx, dy = (off, 0.0) if self.axis else (0.0, off)
            self.ribbons.append(_path([(start[0] + dx, start[1] + dy), (end[0] + dx, end[1] + dy)]))

    def _bar(self, end: Point, start: Point) -> None:
        """The cross connector from one run to the next."""
        self.bars.append(_path([end, start]))

    def _node(self, points: list[Point]) -> list[float]:
        """The node chains meet at; those apart are joined by a bar."""
        across = np.array(points)
        middle = across.mean(axis=0)
        if len(points) > 1 and np.ptp(across, axis=0).max() > 6.0 * max(self.reach_mm[1], 1.0):
            order = across[np.lexsort(across.T)]
            self.bars.append(_path([tuple(point) for point in order.tolist()]))
            middle = order[0]
        return [_n(middle[0]), _n(middle[1])]


def _rail(nodes: list[list[float]], cells: np.ndarray, whole: Point) -> str:
    """Where the diodes are drawn: along an edge, or across or down the middle."""
    spots = np.array(nodes)
    spread = np.ptp(spots, axis=0)
    pitch = cells[:, 2:].mean(axis=0)
    middle = spots.mean(axis=0) / np.array(whole)
    if spread[1] <= 0.6 * pitch[1]:
        return "top" if middle[1] < EDGE_SHARE else "bottom" if middle[1] > 1.0 - EDGE_SHARE else "across"
    if spread[0] <= 0.6 * pitch[0]:
        return "right" if middle[0] > 1.0 - EDGE_SHARE else "left" if middle[0] < 0.4 else "down"
    return "left"


def _rows(rectangles: np.ndarray) -> list[list[int]]:
    tops = np.round(rectangles[:, 1], 1)
    return [
        sorted(np.flatnonzero(tops == value).tolist(), key=lambda cell: float(rectangles[cell, 0]))
        for value in np.unique(tops)
    ]


def _cuts(kind: ModuleType, turn_deg: int) -> str:
    """Corners that are cut off a wafer: all of a whole cell, two of a half, none of a strip."""
    ratio = kind.cell_width_m / kind.cell_height_m
    positions = [place for part in kind.substrings for chain in part.chains for place in chain]
    if 0.8 < ratio < 1.25:
        bits = [15] * len(positions)
    elif 1.6 < ratio < 2.6:
        bits = [3 if (place // kind.columns) % 2 == 0 else 12 for place in positions]
    else:
        bits = [0] * len(positions)
    for _quarter in range(turn_deg // 90):
        bits = [((bit << 1) | (bit >> 3)) & 15 for bit in bits]
    return "".join(f"{bit:x}" for bit in bits)


def _chain_spans(kind: ModuleType) -> list[tuple[int, int]]:
    spans, at = [], 0
    for part in kind.substrings:
        for chain in part.chains:
            spans.append((at, at + len(chain)))
            at += len(chain)
    return spans


def _span(span: tuple[int, int]) -> slice:
    return slice(*span)


def _path(points: list[Point]) -> str:
    return "M" + "L".join(f"{_n(x)} {_n(y)}" for x, y in points)


def _n(value: float) -> float:
    rounded = round(float(value), 1)
    return int(rounded) if rounded == int(rounded) else rounded

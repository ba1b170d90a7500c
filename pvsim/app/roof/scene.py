"""The roof with its modules, as the drawing shows it: plain values that seldom change."""

from __future__ import annotations

from typing import Any

import numpy as np

from pvsim.app.roof.cells_payload import MANY_CELLS
from pvsim.app.roof.mounting_scene import mounting_payload
from pvsim.app.roof.shape import module_shape
from pvsim.array.layout import roof_of
from pvsim.array.module import ModuleType
from pvsim.array.outline import DROPPING, LEAF
from pvsim.array.scenario import Scenario

__all__ = ["scene_payload"]


def scene_payload(scenario: Scenario) -> dict[str, Any]:
    """The roof with its modules: what stays while things are shaded or broken.

    Parameters
    ----------
    scenario : Scenario

    Returns
    -------
    dict
        `shapes`, one for each way a module type lies; `modules`, each (string, module, left mm,
        top mm, shape, row); `strings` with fuse and blocking diode; tracking, wiring; `mounting`, see
        mounting_payload; `outlines` of shadows with a shape of their own, in a square of side 1.
    """
    roof = roof_of(scenario)
    index = roof.index
    shapes: list[dict[str, Any]] = []
    numbers: dict[tuple[ModuleType, int], int] = {}
    modules = []

    def shape_of(kind: ModuleType, turn: int) -> int:
        if (kind, turn) not in numbers:
            numbers[kind, turn] = len(shapes)
            shapes.append(module_shape(kind, turn))
        return numbers[kind, turn]

    columns = (index.module_string, index.module_number, index.module_kind, roof.turn_deg, roof.row)
    rows = zip(*(column.tolist() for column in columns), roof.rectangle.tolist(), strict=True)
    for string, number, kind, turn, row, (left, top, _right, _bottom) in rows:
        shape = shape_of(index.kinds[kind].kind, turn)
        modules.append([string + 1, number + 1, round(left * 1000, 1), round(top * 1000, 1), shape, row])
    array = scenario.array
    return {
        "shapes": shapes,
        "modules": modules,
        "strings": [{"fuse": one.fuse, "blocking": one.blocking_diode} for one in index.strings],
        "tracking": array.tracking,
        "wiring": array.wiring,
        "grounded": array.grounded,
        "outlines": {"leaf": _flat(LEAF), "dropping": _flat(DROPPING)},
        "mounting": mounting_payload(scenario, shape_of),
        "whole": int(index.cell_start[-1]) <= MANY_CELLS,
    }


def _flat(points: np.ndarray) -> list[float]:
    return np.round(points, 4).ravel().tolist()

"""What somebody has put on the array, as the drawing shows it: paint, faults, shadows."""

from __future__ import annotations

from typing import Any

from pvsim.array.index import ArrayIndex, built_cells
from pvsim.array.place import Place, format_place, level_of
from pvsim.array.scenario import Scenario

__all__ = ["faults_of", "painted_of", "shadow_of"]


def painted_of(scenario: Scenario, index: ArrayIndex) -> list[list[float]]:
    """Paint, layer by layer: first cell, how many, and transmission."""
    out = []
    for one in scenario.light.painted:
        cells = built_cells(index, one.place)
        if cells is not None:
            out.append([cells.start, cells.stop - cells.start, one.transmission])
    return out


def faults_of(scenario: Scenario, index: ArrayIndex) -> dict[str, list[list[Any]]]:
    """Faults by the level of their place: (index, or place in words, kind, size)."""
    out: dict[str, list[list[Any]]] = {
        "cell": [], "diode": [], "substring": [], "module": [], "string": [], "other": []
    }  # fmt: skip
    for fault in scenario.faults:
        place = fault.place
        level = level_of(place)
        if fault.kind in ("earth-fault", "string-bridge") or level == "array" or not _built(index, place):
            out["other"].append([format_place(place), fault.kind, fault.size])
            continue
        if level == "substring":
            out["substring"].append([format_place(place), fault.kind, fault.size])
            continue
        if level == "string":
            at = (place.string or 1) - 1
        else:
            module = int(index.string_start[(place.string or 1) - 1]) + (place.module or 1) - 1
            at = module
            if level == "cell":
                at = int(index.cell_start[module]) + (place.cell or 1) - 1
            elif level == "diode":
                at = int(index.substring_start[module]) + (place.diode or 1) - 1
        out[level].append([at, fault.kind, fault.size])
    return out


def _built(index: ArrayIndex, place: Place) -> bool:
    """Whether the place exists in the array as built: a string may have been left shorter."""
    return place.module is None or place.module <= len(index.strings[(place.string or 1) - 1].modules)


def shadow_of(shadow: Any) -> dict[str, Any]:
    """A shadow, with the fields that its handles change."""
    return {
        "kind": shadow.kind,
        "x": shadow.x_m,
        "y": shadow.y_m,
        "width": shadow.width_m,
        "height": shadow.height_m,
        "angle": shadow.angle_deg,
        "through": shadow.transmission,
        "name": shadow.name,
    }

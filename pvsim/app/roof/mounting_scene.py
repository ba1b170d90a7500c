"""A mounted roof, as the drawing shows it: surfaces, places, modules in no string, cables on their way."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np

from pvsim.app.words import _, ngettext
from pvsim.array.cables import Cables
from pvsim.array.index import array_index
from pvsim.array.layout import place_boxes_of, turn_of, unwired_boxes
from pvsim.array.module import ModuleType
from pvsim.array.mounting import LETTERS, PlaceBox, Spot, surface_box
from pvsim.array.route import array_terminals, drawn_route
from pvsim.array.scenario import Scenario, module_type
from pvsim.array.solution import ArraySolution
from pvsim.cabling import StringRoute
from pvsim.numbers import format_fixed
from pvsim.reading.cables import all_cables, string_cables

__all__ = ["cables_text", "earlier_routes", "mounting_payload"]

ShapeOf = Callable[[ModuleType, int], int]


def mounting_payload(scenario: Scenario, shape_of: ShapeOf) -> dict[str, Any] | None:
    """What the drawing needs of surfaces and cables; None for an array whose strings are rows.

    Parameters
    ----------
    scenario : Scenario
    shape_of : callable
        The number of the shape of a module type that lies turned so far.

    Returns
    -------
    dict
        In mm on the drawing: `surfaces`; `places`, each (surface, row, place, left, top, width, height);
        `unwired`, each (index of its place, left, top, shape); `spots`, by module as built the index of its
        place, -1 for one on none; `routes` by string; `box`, where the strings meet. Angles in degrees,
        `height` of a surface's lower edge in m.
    """
    array = scenario.array
    if not array.surfaces:
        return None
    boxes = place_boxes_of(scenario)
    number_of = {spot: at for at, spot in enumerate(boxes)}
    built = [module.spot for string in array_index(scenario).strings for module in string.modules]
    cables = array.cables or Cables()
    return {
        "surfaces": [_surface(scenario, boxes, number) for number in range(1, len(array.surfaces) + 1)],
        "places": [_place(spot, box) for spot, box in boxes.items()],
        "unwired": [
            [
                number_of[module.spot],
                *_mm((box.left_m, box.top_m)),
                shape_of(module_type(scenario, module.type), turn_of(box.orientation, module.rotated)),
            ]
            for module, box in unwired_boxes(scenario)
            if module.spot is not None
        ],
        "spots": [-1 if spot is None else number_of[spot] for spot in built],
        "routes": _routes(scenario),
        "box": _mm((cables.box_x_m, cables.box_y_m)),
    }


def earlier_routes(now: Scenario, before: Scenario | None) -> list[dict[str, Any]]:
    """The cables of the wiring that this one is compared with, where it is another on the same surfaces."""
    if before is None or not now.array.surfaces or before.array.surfaces != now.array.surfaces:
        return []
    if (before.array.strings, before.array.cables) == (now.array.strings, now.array.cables):
        return []
    return _routes(before)


def cables_text(solution: ArraySolution, before: ArraySolution | None) -> str:
    """One line on the cables of a mounted array, beside those of the one it is compared with; "" for rows."""
    strings = string_cables(solution)
    if not strings:
        return ""
    now = all_cables(strings)
    then = now if before is None else all_cables(string_cables(before) or strings)

    def told(said: str, name: str, decimals: int) -> str:
        """The value, and what it was if that reads otherwise."""
        text, was = (format_fixed(getattr(one, name), decimals=decimals) for one in (now, then))
        told = said.format(now=text)
        return told if text == was else _("{told} (before {was})").format(told=told, was=was)

    return " · ".join(
        [
            told(_("{now} m of cable"), "bought_m", 1),
            told(ngettext("{now} extension", "{now} extensions", now.extensions), "extensions", 0),
            told(ngettext("{now} joint", "{now} joints", now.joints), "joints", 0),
            told(_("loss {now} W"), "loss_W", 1),
            told(_("largest loop {now} m²"), "loop_area_m2", 1),
        ]
    )


def _surface(scenario: Scenario, boxes: dict[Spot, PlaceBox], number: int) -> dict[str, Any]:
    surface = scenario.array.surfaces[number - 1]
    left, top, right, bottom = surface_box(boxes, number)
    return {
        "letter": LETTERS[number - 1],
        "name": surface.name,
        "box": _mm((left, top, right - left, bottom - top)),
        "tilt": surface.tilt_deg,
        "azimuth": surface.azimuth_deg,
        "height": surface.height_m,
    }


def _place(spot: Spot, box: PlaceBox) -> list[float]:
    corner_and_size = (box.left_m, box.top_m, box.right_m - box.left_m, box.bottom_m - box.top_m)
    return [spot.surface, spot.row, spot.place, *_mm(corner_and_size)]


def _routes(scenario: Scenario) -> list[dict[str, Any]]:
    """By string: both runs to the box, the ends of each module's leads, extensions as lines."""
    terminals = array_terminals(scenario)
    ends = np.concatenate([terminals.minus_m, terminals.plus_m], axis=1)
    return [_route(string, ends) for string in drawn_route(scenario).strings]


def _route(string: StringRoute, ends: np.ndarray) -> dict[str, Any]:
    return {
        "through": [_mm(ends[number - 1]) for number in string.modules],
        "minus": _mm(string.minus_run.line_m.ravel()),
        "plus": _mm(string.plus_run.line_m.ravel()),
        "extensions": [
            [string.modules.index(one.from_module), _mm(one.line_m.ravel())] for one in string.extensions
        ],
    }


def _mm(values_m: Any) -> list[float]:
    return [round(1000.0 * float(value)) for value in values_m]

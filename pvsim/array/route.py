"""The route of an array's cables: from its mounted modules to lengths, resistances and joints."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from pvsim.array.cables import Cables, as_points, conductor_of, turned_point
from pvsim.array.identity_memo import IdentityMemo
from pvsim.array.index import array_index
from pvsim.array.layout import Roof, roof_of, turn_of, unwired_boxes
from pvsim.array.module import ModuleType, module_size
from pvsim.array.mounting import Spot
from pvsim.array.rewire import rewire
from pvsim.array.scenario import Scenario, module_type
from pvsim.cabling import Route, Terminals, lay_cables

__all__ = [
    "array_terminals",
    "cable_route",
    "drawn_route",
    "lead_resistances_ohm",
    "roof_terminals",
    "route_as",
]

_USUAL = Cables()
_routes: IdentityMemo[Route] = IdentityMemo(32)


def array_terminals(scenario: Scenario) -> Terminals:
    """Junction boxes and leads of the modules as built, in the order string, module."""
    roof = roof_of(scenario)
    return _terminals(
        [roof.index.kinds[kind].kind for kind in roof.index.module_kind.tolist()],
        [(left, top) for left, top, _right, _bottom in roof.rectangle.tolist()],
        roof.turn_deg.tolist(),
    )


def roof_terminals(scenario: Scenario) -> tuple[tuple[Spot, ...], Terminals]:
    """Every mounted module's spot and terminals, in a string or in none; in the order surface, row, place."""
    roof = roof_of(scenario)
    found: dict[Spot, tuple[ModuleType, tuple[float, float], int]] = {}
    built = [module for string in roof.index.strings for module in string.modules]
    kinds = roof.index.module_kind.tolist()
    for at, module in enumerate(built):
        if module.spot is not None:
            left, top = roof.rectangle[at, :2].tolist()
            found[module.spot] = (roof.index.kinds[kinds[at]].kind, (left, top), int(roof.turn_deg[at]))
    for module, box in unwired_boxes(scenario):
        if module.spot is not None:
            kind = module_type(scenario, module.type)
            turn = turn_of(box.orientation, module.rotated)
            found[module.spot] = (kind, (box.left_m, box.top_m), turn)
    spots = tuple(sorted(found))
    columns = [found[spot] for spot in spots]
    return spots, _terminals([c[0] for c in columns], [c[1] for c in columns], [c[2] for c in columns])


def cable_route(scenario: Scenario) -> Route | None:
    """The cables of the array as built; None where its strings name their resistances themselves."""
    cables = scenario.array.cables
    if cables is None:
        return None
    roof = roof_of(scenario)
    return _routes.get((roof, cables), lambda: _lay(scenario, roof, cables))


def drawn_route(scenario: Scenario) -> Route:
    """The cables as they are drawn: of an array without `Cables` those that usual ones would be."""
    roof = roof_of(scenario)
    cables = scenario.array.cables or _USUAL
    return _routes.get((roof, cables), lambda: _lay(scenario, roof, cables))


def route_as(scenario: Scenario, wiring: Sequence[Sequence[Spot]], cables: Cables | None = None) -> Route:
    """The cables of another wiring of the same roof, such as a preset before it is taken.

    Parameters
    ----------
    wiring : sequence of sequences of Spot
        As for `rewire`.
    cables : Cables, optional
        In place of the array's; the usual ones where it has none.
    """
    wired = rewire(scenario, wiring)
    return _lay(wired, roof_of(wired), cables or scenario.array.cables or _USUAL)


def lead_resistances_ohm(scenario: Scenario) -> list[float]:
    """What cables and connectors of each string as built have, there and back.

    Returns
    -------
    list of float
        With `Cables` extensions, runs to the box and the joints that the route counts: a module's
        own leads are in its data already. Without, as the string says, n + 1 joints of n modules.
    """
    route = cable_route(scenario)
    strings = array_index(scenario).strings
    if route is None:
        return [
            string.cable_resistance_ohm + (len(string.modules) + 1) * string.connector_resistance_ohm
            for string in strings
        ]
    return [
        laid.bought_resistance_ohm + laid.joints * string.connector_resistance_ohm
        for laid, string in zip(route.strings, strings, strict=True)
    ]


def _lay(scenario: Scenario, roof: Roof, cables: Cables) -> Route:
    wiring, first = [], 1
    for string in roof.index.strings:
        wiring.append(range(first, first + len(string.modules)))
        first += len(string.modules)
    return lay_cables(
        array_terminals(scenario),
        (cables.box_x_m, cables.box_y_m),
        wiring,
        conductor=conductor_of(cables),
        temperature_C=cables.temperature_C,
    )


def _terminals(
    kinds: Sequence[ModuleType], corners: Sequence[tuple[float, float]], turns: Sequence[int]
) -> Terminals:
    minus: list[tuple[float, float]] = []
    plus: list[tuple[float, float]] = []
    for kind, (left, top), turn in zip(kinds, corners, turns, strict=True):
        size = module_size(kind)
        boxes = kind.junction_boxes or ((size[0] / 2, size[1] / 2),)
        for points, box in ((minus, boxes[0]), (plus, boxes[-1])):
            x, y = turned_point(box, size, turn)
            points.append((left + x, top + y))
    return Terminals(
        minus_m=as_points(minus),
        plus_m=as_points(plus),
        minus_lead_m=np.array([kind.minus_lead_m for kind in kinds]),
        plus_lead_m=np.array([kind.plus_lead_m for kind in kinds]),
    )

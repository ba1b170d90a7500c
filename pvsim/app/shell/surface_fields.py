"""The fields of the panel of the array that change the surfaces modules are mounted on."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from pvsim.app.number_field import read_number, read_whole
from pvsim.app.session.state import State
from pvsim.app.words import _, mark
from pvsim.array.limits import MAX_PLACES_PER_ROW, MAX_ROWS
from pvsim.array.mounting import LETTERS, Surface
from pvsim.numbers import format_setting

__all__ = ["SURFACE_ACTIONS", "surface_hidden", "surface_layout", "surface_options", "surface_values"]

Item = dict[str, Any]
Action = Callable[[State, Any], None]

# Of a surface: field, its name, unit, least, most, step.
SURFACE_NUMBERS = {
    "tilt": ("tilt_deg", mark("Tilt"), "°", 0.0, 90.0, 1.0),
    "azimuth": ("azimuth_deg", mark("Faces, from north clockwise"), "°", 0.0, 360.0, 5.0),
    "above": ("height_m", mark("Lower edge above the ground"), "m", 0.0, 200.0, 0.1),
    "row_gap": ("row_gap_m", mark("Gap between rows"), "m", 0.0, 50.0, 0.01),
    "place_gap": ("module_gap_m", mark("Gap between neighbours"), "m", 0.0, 50.0, 0.01),
    "from_left": ("x_m", mark("On the drawing, from the left"), "m", 0.0, 1000.0, 0.5),
    "from_top": ("y_m", mark("On the drawing, from the top"), "m", 0.0, 1000.0, 0.5),
}
FIELDS = ("surface", *SURFACE_NUMBERS, "row", "places", "lies", "indent")
FREE = ("surface_rule", *FIELDS, "add_surface", "remove_surface")  # of an array with surfaces alone
ROWS_ALONE = ("orientation",)  # of an array whose strings are rows


def surface_layout() -> list[Item]:
    """What stands in the panel; see bar_layout."""
    numbers: list[Item] = [
        {
            "kind": "number", "id": name, "label": _(label), "unit": unit,
            "least": least, "most": most, "step": step, "slider": name == "tilt",
        }
        for name, (_field, label, unit, least, most, step) in SURFACE_NUMBERS.items()
    ]  # fmt: skip
    lies = [["portrait", _("portrait")], ["landscape", _("landscape")]]
    small = {"unit": "", "least": 0, "step": 1, "slider": False, "kind": "number"}
    places = small | {"label": _("Places; 0 takes the row away"), "most": MAX_PLACES_PER_ROW}
    indent = small | {"label": _("Begins farther right by"), "unit": "m", "most": 1000, "step": 0.1}
    act = {"kind": "act", "main": False, "edge": True}
    return [
        {"kind": "note", "id": "surface_rule", "text": _("Surfaces that modules are mounted on")},
        {"kind": "select", "id": "surface", "label": _("Surface"), "at_once": True},
        *numbers,
        {"kind": "select", "id": "row", "label": _("Row of places"), "at_once": True},
        places | {"id": "places"},
        {"kind": "choice", "id": "lies", "label": _("Modules lie there"), "options": lies},
        indent | {"id": "indent"},
        act | {"id": "add_surface", "label": _("One more surface")},
        act | {"id": "remove_surface", "label": _("Take this surface away")},
    ]


def surface_values(state: State) -> dict[str, Any]:
    """What the fields hold; nothing for an array whose strings are rows."""
    surface = _surface(state)
    if surface is None:
        return dict.fromkeys(FIELDS, "")
    rows = surface.rows
    row = rows[min(max(state.surface_row, 1), len(rows)) - 1]
    values: dict[str, Any] = {
        name: format_setting(getattr(surface, field)) for name, (field, *_rest) in SURFACE_NUMBERS.items()
    }
    return values | {
        "surface": str(_number(state)),
        "row": str(state.surface_row),
        "places": str(row.places),
        "lies": row.orientation,
        "indent": format_setting(row.indent_m),
    }


def surface_options(state: State) -> dict[str, list[list[str]]]:
    """What the lists offer."""
    surface = _surface(state)
    if surface is None:
        return {}
    surfaces = state.scenario.array.surfaces
    count = len(surface.rows)
    return {
        "surface": [
            [str(number), f"{LETTERS[number - 1]} {one.name}".strip()]
            for number, one in enumerate(surfaces, start=1)
        ],
        "row": [
            ["0", _("all rows")],
            *([str(row), _("row {row}").format(row=row)] for row in range(1, count + 1)),
            [str(count + 1), _("a new row below")],
        ],
    }


def surface_hidden(state: State) -> set[str]:
    """The fields that make no sense now."""
    return set(FREE) if _surface(state) is None else set(ROWS_ALONE)


def _number(state: State) -> int:
    return min(max(state.surface, 1), max(len(state.scenario.array.surfaces), 1))


def _surface(state: State) -> Surface | None:
    surfaces = state.scenario.array.surfaces
    return surfaces[_number(state) - 1] if surfaces else None


def _set_number(name: str) -> Action:
    field, label, unit, least, most, _step = SURFACE_NUMBERS[name]

    def act(state: State, value: Any) -> None:
        number = read_number(value, name=_(label), least=least, most=most, unit=unit)
        state.set_surface(_number(state), **{field: number})

    return act


def _row(state: State) -> int | None:
    return state.surface_row or None


def _places(state: State, value: Any) -> None:
    places = read_whole(value, name=_("Places"), least=0, most=MAX_PLACES_PER_ROW)
    state.set_row(_number(state), _row(state), places=places)


def _lies(state: State, value: Any) -> None:
    state.set_row(_number(state), _row(state), orientation=str(value))


def _indent(state: State, value: Any) -> None:
    metres = read_number(value, name=_("Begins farther right by"), least=0.0, most=1000.0, unit="m")
    state.set_row(_number(state), _row(state), indent_m=metres)


def _choose(name: str) -> Action:
    def act(state: State, value: Any) -> None:
        state.choose_surface(**{name: read_whole(value, name=_("Row of places"), least=0, most=MAX_ROWS)})

    return act


SURFACE_ACTIONS: dict[str, Action] = {
    **{name: _set_number(name) for name in SURFACE_NUMBERS},
    "surface": _choose("surface"),
    "row": _choose("row"),
    "places": _places,
    "lies": _lies,
    "indent": _indent,
    "add_surface": lambda state, _value: state.add_surface(),
    "remove_surface": lambda state, _value: state.remove_surface(_number(state)),
}

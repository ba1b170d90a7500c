"""The day as it is set up in the page: fields of the site, of the date, and of each solid thing."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

import numpy as np

from pvsim.app.number_field import read_number
from pvsim.app.session.day_commands import PLACES, SOLID_TITLES, describe_surface, usual_day
from pvsim.app.session.state import State
from pvsim.app.words import _, mark
from pvsim.array.day import Day, solid_kind
from pvsim.array.layout import place_boxes_of, roof_of
from pvsim.array.mounting import surface_box
from pvsim.array.scenario import Scenario
from pvsim.errors import PvsimError, ScenarioError
from pvsim.numbers import format_setting
from pvsim.sky.site import FIRST_YEAR, LAST_YEAR
from pvsim.sky.solid import FARTHEST_m, LARGEST_m, Solid, solid_corners

__all__ = ["Refused", "change_day", "change_thing", "form_values"]

SMALLEST_m = 0.001
OWN = "own"  # the place of a site that is none of those offered


@dataclass(frozen=True, slots=True, kw_only=True)
class Number:
    """What a field asks for; `share` is what one of its unit is in the value's own."""

    label: str
    unit: str
    least: float
    most: float
    share: float = 1.0


SITE: Mapping[str, Number] = {
    "latitude_deg": Number(label=mark("Latitude, north +"), unit="°", least=-90.0, most=90.0),
    "longitude_deg": Number(label=mark("Longitude, east +"), unit="°", least=-180.0, most=180.0),
    "height_m": Number(label=mark("Above the sea"), unit="m", least=-450.0, most=6000.0),
    "utc_offset_h": Number(label=mark("Clock from UTC"), unit="h", least=-12.0, most=14.0),
}
GROUND = Number(label=mark("Ground reflects"), unit="%", least=0.0, most=100.0, share=0.01)


def _place(label: str) -> Number:
    return Number(label=label, unit="m", least=-FARTHEST_m, most=FARTHEST_m)


def _size(label: str) -> Number:
    return Number(label=label, unit="m", least=SMALLEST_m, most=LARGEST_m)


_X, _Y, _FOOT = _place("x"), _place("y"), _place(mark("foot at"))
_TURN = Number(label=mark("turned by"), unit="°", least=-360.0, most=360.0)
_HEIGHT = _size(mark("height"))
SOLIDS: Mapping[str, Mapping[str, Number]] = {
    "pole": {"x_m": _X, "y_m": _Y, "radius_m": _size(mark("radius")), "height_m": _HEIGHT, "foot_m": _FOOT},
    "box": {
        "x_m": _X,
        "y_m": _Y,
        "width_m": _size(mark("width")),
        "depth_m": _size(mark("depth")),
        "height_m": _HEIGHT,
        "foot_m": _FOOT,
        "turn_deg": _TURN,
    },
    "parapet": {
        "x_m": _place(mark("from x")),
        "y_m": _place(mark("from y")),
        "to_x_m": _place(mark("to x")),
        "to_y_m": _place(mark("to y")),
        "thickness_m": _size(mark("thickness")),
        "height_m": _HEIGHT,
        "foot_m": _FOOT,
    },
    "row": {
        "x_m": _X,
        "y_m": _Y,
        "width_m": _size(mark("width")),
        "slope_m": _size(mark("along the slope")),
        "tilt_deg": Number(label=mark("tilt"), unit="°", least=0.0, most=90.0),
        "foot_m": _FOOT,
        "turn_deg": _TURN,
    },
}


class Refused(Exception):
    """A value that cannot be used.

    Parameters
    ----------
    field : str
        Where it was typed.
    sentence : str
        Why, what was expected, and how to mend it.
    """

    def __init__(self, field: str, sentence: str) -> None:
        super().__init__(sentence)
        self.field, self.sentence = field, sentence


def form_values(state: State) -> dict[str, Any]:
    """What the fields hold, which solid things there are, and a plan of where they stand.

    Returns
    -------
    dict
        `place`, `fields`, `date`, `things`, `roof` (in words), `plan`.
    """
    scenario = state.scenario
    day = scenario.day or usual_day()
    site = day.site
    place = next((name for name, one in PLACES.items() if one == site), OWN)
    fields = [
        {"field": name, "label": _(one.label), "unit": one.unit, "value": format_setting(getattr(site, name))}
        for name, one in SITE.items()
    ]
    ground = format_setting(round(day.ground_reflectance / GROUND.share, 6))
    fields.append({"field": "ground", "label": _(GROUND.label), "unit": GROUND.unit, "value": ground})
    return {
        "place": place,
        "places": [[name, _(one.title)] for name, one in PLACES.items()] + [[OWN, _("a place of your own")]],
        "fields": fields,
        "date": day.date.isoformat(),
        "things": [_thing(solid) for solid in day.solids],
        "roof": _roof(scenario),
        "plan": _plan(scenario, day),
    }


def change_day(state: State, field: str, value: Any) -> None:
    """Set one field of the site, the date or the ground.

    Raises
    ------
    Refused
        If the value cannot be used; the day stays.
    """
    day = state.scenario.day or usual_day()
    if field == "place":
        if str(value) in PLACES:
            state.set_day(_("another site"), site=PLACES[str(value)])
    elif field == "date":
        state.set_day(_("another date"), date=_date(value))
    elif field == "ground":
        number = _read("ground", GROUND, value)
        state.set_day(_("the ground reflects another share"), ground_reflectance=number)
    elif field in SITE:
        number = _read(field, SITE[field], value)
        if number != getattr(day.site, field):
            changes: dict[str, Any] = {field: number, "title": ""}
            state.set_day(_("another site"), site=replace(day.site, **changes))


def change_thing(state: State, index: int, field: str, value: Any) -> None:
    """Set one field of a solid thing, counted from 0.

    Raises
    ------
    Refused
        If the value cannot be used; the thing stays.
    """
    day = state.scenario.day
    if day is None or not 0 <= index < len(day.solids):
        return
    solid = day.solids[index]
    spec = SOLIDS[solid_kind(solid)].get(field)
    if spec is None:
        return
    where = f"thing-{index}-{field}"
    changes: dict[str, Any] = {field: _read(where, spec, value)}
    try:
        changed = replace(solid, **changes)
    except PvsimError as error:  # a wall that begins where it ends
        raise Refused(where, str(error)) from None
    if changed != solid:
        state.change_solid(index, changed)


def _read(field: str, spec: Number, value: Any) -> float:
    name = _(spec.label)
    try:
        number = read_number(
            value, name=name[:1].upper() + name[1:], least=spec.least, most=spec.most, unit=spec.unit
        )
    except ScenarioError as error:
        raise Refused(field, str(error)) from None
    return number if spec.share == 1.0 else round(number * spec.share, 9)


def _date(value: Any) -> date:
    try:
        found = date.fromisoformat(str(value))
    except ValueError:
        found = None
    if found is None or not FIRST_YEAR <= found.year <= LAST_YEAR:
        error = ScenarioError(
            _("“{text}” is no date that can be played").format(text=str(value)[:20]),
            expected=_("a day from {first} to {last}").format(first=FIRST_YEAR, last=LAST_YEAR),
            mend=_("Write it like 2026-06-21"),
        )
        raise Refused("date", str(error))
    return found


def _thing(solid: Solid) -> dict[str, Any]:
    kind = solid_kind(solid)
    return {
        "kind": kind,
        "title": _(SOLID_TITLES[kind]),
        "fields": [
            {
                "field": name,
                "label": _(one.label),
                "unit": one.unit,
                "value": format_setting(getattr(solid, name)),
            }
            for name, one in SOLIDS[kind].items()
        ],
    }


def _roof(scenario: Scenario) -> str:
    surfaces = scenario.array.surfaces
    if not surfaces:
        return _("The array will lie on a surface of its own: {how}.").format(
            how=describe_surface(30.0, 180.0)
        )
    ways = list(dict.fromkeys(describe_surface(one.tilt_deg, one.azimuth_deg) for one in surfaces))
    return _("The array lies on a roof {how}.").format(how="; ".join(ways[:3]))


def _plan(scenario: Scenario, day: Day) -> dict[str, Any]:
    """Modules and things from above, in m on the drawing; y downwards, as there."""
    count = len(scenario.array.surfaces)
    if count:
        boxes = place_boxes_of(scenario)
        outlines = [surface_box(boxes, number) for number in range(1, count + 1)]
    else:
        corners = roof_of(scenario).rectangle
        outlines = [(*corners[:, :2].min(axis=0), *corners[:, 2:].max(axis=0))]
    roofs = [[round(float(one), 2) for one in outline] for outline in outlines]
    things = []
    for solid in day.solids:
        corners, _edges = solid_corners(solid)
        flat = corners[:, :2] * (1.0, -1.0)
        middle = flat.mean(axis=0)
        around = np.arctan2(flat[:, 1] - middle[1], flat[:, 0] - middle[0])
        things.append(np.round(flat[np.argsort(around, kind="stable")], 3).ravel().tolist())
    return {"roofs": roofs, "things": things}

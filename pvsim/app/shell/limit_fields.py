"""The fields of the panel of strings that hold an array against limits, and look for an earth fault."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from pvsim.app.number_field import read_number
from pvsim.app.session.state import State
from pvsim.app.words import _, mark
from pvsim.numbers import format_setting
from pvsim.safety.ratings import COLDEST_C
from pvsim.safety.sentences import (
    CAUTIONS,
    cold_sentences,
    earth_sentence,
    readings_sentence,
    reverse_sentences,
)

__all__ = ["LIMIT_ACTIONS", "limit_layout", "limit_values"]

Item = dict[str, Any]
Action = Callable[[State, Any], None]

# Of the ratings: field, its name, unit, least, most, step.
RATING_NUMBERS = {
    "lowest_C": ("lowest_C", mark("Coldest bright morning"), "°C", COLDEST_C, 25.0, 1.0),
    "system_V": ("system_voltage_V", mark("System made for"), "V", 1.0, 3000.0, 100.0),
    "module_fuse": ("module_fuse_A", mark("Modules' overcurrent rating"), "A", 0.1, 200.0, 1.0),
    "string_fuse": ("string_fuse_A", mark("Fuse in each string"), "A", 0.1, 200.0, 1.0),
}
EARTH_NUMBERS = {
    "earth_minus": ("minus", mark("Minus pole to earth"), -3000.0, 0.0),
    "earth_plus": ("plus", mark("Plus pole to earth"), 0.0, 3000.0),
}


def limit_layout() -> list[Item]:
    """What stands in the panel; see bar_layout."""
    number = {"kind": "number", "slider": False}
    ratings = [
        number | {"id": name, "label": _(label), "unit": unit, "least": least, "most": most, "step": step}
        for name, (_field, label, unit, least, most, step) in RATING_NUMBERS.items()
    ]
    earth = [
        number | {"id": name, "label": _(label), "unit": "V", "least": least, "most": most, "step": 1}
        for name, (_pole, label, least, most) in EARTH_NUMBERS.items()
    ]
    return [
        {"kind": "rule"},
        {"kind": "note", "id": "limits_title", "text": _("Limits that hurt people"), "title": True},
        {"kind": "note", "id": "limits_caution", "text": _(CAUTIONS[0])},
        *ratings,
        {"kind": "act", "id": "limits", "label": _("Hold the strings against them"), "main": False},
        {"kind": "note", "id": "limits_found", "text": "", "said": True},
        {"kind": "note", "id": "earth_title", "text": _("One earth fault, by two voltages"), "title": True},
        {"kind": "note", "id": "earth_caution", "text": _(CAUTIONS[1])},
        *earth,
        {"kind": "note", "id": "earth_found", "text": "", "said": True},
    ]


def limit_values(state: State) -> dict[str, Any]:
    """What the fields hold."""
    ratings, values = state.ratings, dict[str, Any]()
    for name, (field, *_rest) in RATING_NUMBERS.items():
        values[name] = format_setting(getattr(ratings, field))
    for name, (pole, *_rest) in EARTH_NUMBERS.items():
        read = state.earth_readings.get(pole)
        values[name] = "" if read is None else format_setting(read)
    return values | {"limits_found": _found(state), "earth_found": _earth(state)}


def _found(state: State) -> str:
    found = state.limits
    if found is None:
        return ""
    if found.scenario != state.scenario or found.ratings != state.ratings:
        return _("Something has changed since: press once more.")
    own = [readings_sentence(*found.own_fault)] if found.own_fault else []
    return "\n".join([*cold_sentences(found.cold, found.ratings), *reverse_sentences(found.reverse), *own])


def _earth(state: State) -> str:
    """Where the fault is, string by string; with one string in view, in that one alone."""
    found = state.earth
    if found is None:
        return ""
    if found.scenario != state.scenario:
        return _("Something has changed since: type one of the voltages once more.")
    alone = state.focus.string if state.level != "array" else None
    told = [one for one in found.faults if alone in (None, one.string)] or found.faults
    return "\n".join([found.wrong] if found.wrong else [earth_sentence(one) for one in told])


def _rating(name: str) -> Action:
    field, label, unit, least, most, _step = RATING_NUMBERS[name]

    def act(state: State, value: Any) -> None:
        state.set_ratings(**{field: read_number(value, name=_(label), least=least, most=most, unit=unit)})

    return act


def _reading(name: str) -> Action:
    pole, label, least, most = EARTH_NUMBERS[name]

    def act(state: State, value: Any) -> None:
        state.set_earth_reading(pole, read_number(value, name=_(label), least=least, most=most, unit="V"))

    return act


LIMIT_ACTIONS: dict[str, Action] = {
    **{name: _rating(name) for name in RATING_NUMBERS},
    **{name: _reading(name) for name in EARTH_NUMBERS},
    "limits": lambda state, _value: state.work_out_limits(),
}

"""The fields of the panel of the array that let its cells and modules differ."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from pvsim.app.number_field import read_number, read_whole
from pvsim.app.session.state import State
from pvsim.app.words import _, mark
from pvsim.array.scatter import MOST_SEED, USUAL_SCATTER
from pvsim.numbers import format_setting

__all__ = ["SCATTER_ACTIONS", "scatter_hidden", "scatter_layout", "scatter_values"]

Item = dict[str, Any]
Action = Callable[[State, Any], None]

# Of a scatter: field, its name, unit, most, step.
SCATTER_NUMBERS = {
    "scatter_photocurrent": ("photocurrent_percent", mark("Photocurrent, cell to cell"), "%", 20.0, 0.5),
    "scatter_shunt": ("shunt_percent", mark("Shunt resistance, cell to cell"), "%", 150.0, 5.0),
    "scatter_breakdown": ("breakdown_percent", mark("Breakdown voltage, cell to cell"), "%", 20.0, 1.0),
    "scatter_light": ("light_percent", mark("Light, module to module"), "%", 20.0, 0.5),
    "scatter_temperature": ("temperature_K", mark("Temperature, module to module"), "K", 15.0, 0.5),
}
FIELDS = ("scatter_note", "scatter_seed", *SCATTER_NUMBERS)


def scatter_layout() -> list[Item]:
    """What stands in the panel; see bar_layout."""
    number = {"kind": "number", "least": 0, "slider": False}
    equal = [["no", _("equal")], ["yes", _("scattered")]]
    return [
        {"kind": "rule"},
        {
            "kind": "choice",
            "id": "scatter",
            "label": _("Cells and modules of one kind are"),
            "options": equal,
        },
        {
            "kind": "note",
            "id": "scatter_note",
            "text": _(
                "Standard deviations. The usual ones are common practice, without a source; another number "
                "draws another array of the same kind."
            ),
        },
        number
        | {"id": "scatter_seed", "label": _("Drawn from number"), "unit": "", "most": MOST_SEED, "step": 1},
        *(
            number | {"id": name, "label": _(label), "unit": unit, "most": most, "step": step}
            for name, (_field, label, unit, most, step) in SCATTER_NUMBERS.items()
        ),
    ]


def scatter_values(state: State) -> dict[str, Any]:
    """What the fields hold; nothing while all are equal."""
    scatter = state.scenario.scatter
    if scatter is None:
        return {"scatter": "no", "scatter_seed": ""} | dict.fromkeys(SCATTER_NUMBERS, "")
    return {"scatter": "yes", "scatter_seed": str(scatter.seed)} | {
        name: format_setting(getattr(scatter, field)) for name, (field, *_rest) in SCATTER_NUMBERS.items()
    }


def scatter_hidden(state: State) -> set[str]:
    """The fields that make no sense now."""
    return set(FIELDS) if state.scenario.scatter is None else set()


def _set(state: State, value: Any) -> None:
    state.set_scatter(USUAL_SCATTER if value == "yes" else None)


def _seed(state: State, value: Any) -> None:
    state.change_scatter(seed=read_whole(value, name=_("Drawn from number"), least=0, most=MOST_SEED))


def _number(name: str) -> Action:
    field, label, unit, most, _step = SCATTER_NUMBERS[name]

    def act(state: State, value: Any) -> None:
        state.change_scatter(**{field: read_number(value, name=_(label), least=0.0, most=most, unit=unit)})

    return act


SCATTER_ACTIONS: dict[str, Action] = {
    "scatter": _set,
    "scatter_seed": _seed,
    **{name: _number(name) for name in SCATTER_NUMBERS},
}

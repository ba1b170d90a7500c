"""What each message of the top bar does: a fixed table from its name to a command of the state."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from pvsim.app.number_field import read_number, read_whole
from pvsim.app.session.address import page_address
from pvsim.app.session.export import (
    export_bench_png,
    export_bench_svg,
    export_csv,
    export_png,
    export_sheet,
    export_solution,
    export_svg,
    link_to,
    save_scenario,
)
from pvsim.app.session.state import State
from pvsim.app.shell.bar_values import load_at
from pvsim.app.shell.limit_fields import LIMIT_ACTIONS
from pvsim.app.shell.opened_file import open_file
from pvsim.app.shell.scatter_fields import SCATTER_ACTIONS
from pvsim.app.shell.surface_fields import SURFACE_ACTIONS
from pvsim.app.words import _, mark
from pvsim.errors import ScenarioError
from pvsim.words import known_language

__all__ = ["ACTIONS", "FieldsRefused"]

Reply = dict[str, Any] | None
Action = Callable[[State, Any], Reply]

SKIES = {
    "sun": {"irradiance_W_m2": 1000.0, "diffuse_fraction": 0.15},
    "haze": {"irradiance_W_m2": 600.0, "diffuse_fraction": 0.4},
    "overcast": {"irradiance_W_m2": 200.0, "diffuse_fraction": 1.0},
    "dark": {"irradiance_W_m2": 0.0},
}


def _command(name: str) -> Action:
    def act(state: State, _value: Any) -> None:
        getattr(state, name)()

    return act


def _light(field: str, name: str, most: float, unit: str, *, percent: bool = False) -> Action:
    def act(state: State, value: Any) -> None:
        number = read_number(value, name=_(name), least=0.0, most=most, unit=unit)
        state.set_light(**{field: number / 100.0 if percent else number})

    return act


def _weather(field: str, name: str, least: float, most: float, unit: str) -> Action:
    def act(state: State, value: Any) -> None:
        state.set_weather(**{field: read_number(value, name=_(name), least=least, most=most, unit=unit)})

    return act


def _hold_at(kind: str, name: str, least: float, most: float, unit: str) -> Action:
    def act(state: State, value: Any) -> None:
        state.set_operation(kind, read_number(value, name=_(name), least=least, most=most, unit=unit))

    return act


def _array(field: str) -> Action:
    def act(state: State, value: Any) -> None:
        state.set_array(**{field: str(value)})

    return act


def _main_cable(state: State, value: Any) -> None:
    ohm = read_number(value, name=_("Main cable"), least=0.0, most=1e6, unit="Ω")
    state.set_array(main_cable_resistance_ohm=ohm)


def _operation(state: State, value: Any) -> None:
    """Another way to hold the array, first at the point where it is now."""
    point = state.solution.trackers[0].point
    values = {
        "voltage": round(point.voltage_V, 1),
        "current": round(point.current_A, 2),
        "load": round(load_at(point), 2),
    }
    state.set_operation(str(value), values.get(str(value)))


def _compare(state: State, value: Any) -> None:
    commands = {"last": state.drop_before, "kept": state.keep_before, "off": state.compare_nothing}
    commands.get(str(value), state.drop_before)()


def _keep(state: State, _value: Any) -> None:
    state.keep_before()


def _string(field: str, name: str, most: float, unit: str, share: float = 1.0) -> Action:
    def act(state: State, value: Any) -> None:
        number = read_number(value, name=_(name), least=0.0, most=most, unit=unit)
        change: dict[str, Any] = {field: number / share}
        state.set_string(**change)

    return act


def _fitted(field: str) -> Action:
    def act(state: State, value: Any) -> None:
        state.set_string(**{field: value == "yes"})

    return act


def _length(state: State, value: Any) -> None:
    state.set_string(length=read_whole(value, name=_("Modules"), least=1, most=24))


class FieldsRefused(Exception):
    """Numbers of several fields that cannot be used.

    Parameters
    ----------
    sentences : dict of str to str
        By field, why.
    """

    def __init__(self, sentences: dict[str, str]) -> None:
        super().__init__(" ".join(sentences.values()))
        self.sentences = sentences


def _build(state: State, value: Any) -> Reply:
    fields = value if isinstance(value, dict) else {}
    counts, refused = {}, {}
    for field, name, most in (("strings", _("Strings"), 8), ("modules", _("Modules in each"), 24)):
        try:
            counts[field] = read_whole(fields.get(field), name=name, least=1, most=most)
        except ScenarioError as error:
            refused[field] = str(error)
    if refused:
        raise FieldsRefused(refused)
    state.build_array(**counts, kind=str(fields.get("type", "")))
    return {"close": True}  # what was built is to be seen


def _open_day(state: State, _value: Any) -> Reply:
    state.open_day()
    return {"close": True}  # it stands below, where a panel would cover it


def _theme(state: State, value: Any) -> None:
    known = value in ("light", "dark")
    state.show(theme=value if known else ("light" if state.theme == "dark" else "dark"))


def _large(state: State, value: Any) -> None:
    state.show(large=value if isinstance(value, bool) else not state.large)


def _letters(state: State, value: Any) -> None:
    state.show(keys=bool(value))


def _speak(state: State, value: Any) -> Reply:
    """Where this page is found in another language; the browser goes there, and keeps the choice."""
    code = known_language(str(value))
    return {"speak": code, "query": page_address(state, code)[0]} if code else None


ACTIONS: dict[str, Action] = {
    "undo": _command("undo"),
    "redo": _command("redo"),
    "reset": _command("reset"),
    "keep": _keep,
    "comparison": _compare,
    "demo": lambda state, value: state.choose_demo(str(value)),
    "day": _open_day,
    "light_preset": lambda state, value: state.set_light(**SKIES.get(str(value), {})),
    "irradiance": _light("irradiance_W_m2", mark("In-plane irradiance"), 2000.0, "W/m²"),
    "diffuse": _light("diffuse_fraction", mark("Diffuse share"), 100.0, "%", percent=True),
    "rear": _light("rear_irradiance_W_m2", mark("Rear irradiance"), 2000.0, "W/m²"),
    "heat": lambda state, value: state.set_weather(heat=str(value)),
    "cell_temperature": _weather("cell_temperature_C", mark("Cell temperature"), -60.0, 150.0, "°C"),
    "ambient": _weather("ambient_temperature_C", mark("Air temperature"), -60.0, 70.0, "°C"),
    "wind": _weather("wind_m_s", mark("Wind"), 0.0, 60.0, "m/s"),
    "tracking": _array("tracking"),
    "wiring": _array("wiring"),
    "orientation": _array("orientation"),
    "main_cable": _main_cable,
    "build": _build,
    "length": _length,
    "factor": _string("irradiance_factor", mark("Light"), 200.0, "%", 100.0),
    "cable": _string("cable_resistance_ohm", mark("Cable"), 1e6, "Ω"),
    "connector": _string("connector_resistance_ohm", mark("Connectors"), 1e6, "Ω"),
    "fuse": _fitted("fuse"),
    "blocking": _fitted("blocking_diode"),
    "module_type": lambda state, value: state.set_modules(type=str(value)),
    "turned": lambda state, value: state.set_modules(rotated=value == "yes"),
    "operation": _operation,
    "voltage": _hold_at("voltage", mark("Voltage"), -1e5, 1e5, "V"),
    "current": _hold_at("current", mark("Current"), -1e5, 1e5, "A"),
    "load": _hold_at("load", mark("Load resistance"), 1e-6, 1e9, "Ω"),
    "open": open_file,
    "save": lambda state, _value: save_scenario(state),
    "link": lambda state, _value: link_to(state),
    "export_csv": lambda state, _value: export_csv(state),
    "export_svg": lambda state, _value: export_svg(state),
    "export_png": lambda state, _value: export_png(state),
    "export_bench_svg": lambda state, _value: export_bench_svg(state),
    "export_bench_png": lambda state, _value: export_bench_png(state),
    "export_sheet": lambda state, _value: export_sheet(state),
    "export_solution": lambda state, _value: export_solution(state),
    "print": lambda _state, _value: {"close": True, "print": True},
    "theme": _theme,
    "large": _large,
    "language": _speak,
    "letters": _letters,
    **SURFACE_ACTIONS,
    **SCATTER_ACTIONS,
    **LIMIT_ACTIONS,
    "stroke": lambda state, value: state.begin_stroke() if value else state.end_stroke(),
}

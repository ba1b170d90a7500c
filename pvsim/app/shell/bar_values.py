"""What the top bar shows now, read from the state."""

from __future__ import annotations

from typing import Any

from pvsim.app.session.state import State
from pvsim.app.shell.limit_fields import limit_values
from pvsim.app.shell.scatter_fields import scatter_hidden, scatter_values
from pvsim.app.shell.surface_fields import surface_hidden, surface_options, surface_values
from pvsim.app.words import _, ngettext
from pvsim.array.catalogue import CATALOGUE
from pvsim.array.scenario import Scenario
from pvsim.circuit.solution import OperatingPoint
from pvsim.files.demo import demo_names, read_demo
from pvsim.numbers import format_fixed, format_number, format_setting

__all__ = ["bar_values", "load_at"]


def bar_values(state: State) -> dict[str, Any]:
    """Values for static/shell/top_bar.js.

    Returns
    -------
    dict
        "reads": the short text each menu shows; "fields": what each field holds;
        "options": what lists offer; "hidden": the fields
        that make no sense now; "on": buttons that are pressed; "off": those that cannot be.
    """
    scenario = state.scenario
    light, weather, array = scenario.light, scenario.weather, scenario.array
    operation = scenario.operation
    first = array.strings[0]
    types = _module_types(scenario)
    alone = state.level != "array"
    string = array.strings[(state.focus.string or 1) - 1] if alone else first
    module = string.modules[min(state.modules_in_view().module or 1, len(string.modules)) - 1]
    temperature = {"fixed": "cell_temperature", "steady": "ambient", "feedback": "ambient"}[weather.heat]
    fields: dict[str, Any] = {
        "irradiance": format_setting(light.irradiance_W_m2),
        "diffuse": format_setting(100.0 * light.diffuse_fraction),
        "rear": format_setting(light.rear_irradiance_W_m2),
        "heat": weather.heat,
        "cell_temperature": format_setting(weather.cell_temperature_C),
        "ambient": format_setting(weather.ambient_temperature_C),
        "wind": format_setting(weather.wind_m_s),
        "tracking": array.tracking,
        "wiring": array.wiring,
        "orientation": array.orientation,
        "main_cable": format_setting(array.main_cable_resistance_ohm),
        "strings": str(len(array.strings)),
        "modules": str(len(first.modules)),
        "type": first.modules[0].type,
        "length": str(len(string.modules)),
        "factor": format_setting(100.0 * string.irradiance_factor),
        "cable": format_setting(string.cable_resistance_ohm),
        "connector": format_setting(string.connector_resistance_ohm),
        "fuse": _yes(string.fuse),
        "blocking": _yes(string.blocking_diode),
        "module_type": module.type,
        "turned": _yes(module.rotated),
        "string_note": _string_note(state),
        "module_note": _module_note(state),
        "comparison": state.comparison,
        "operation": operation.kind,
        "scenario_note": _(scenario.note),
        "heat_note": _heat_note(weather.heat),
        "operation_note": _operation_note(state),
        "export_note": _("The characteristic of the level shown, with version, scenario and limits named."),
        "letters": state.keys,
    }
    solution = state.solution
    tracker = solution.trackers[0].point
    fields |= {
        "voltage": format_setting(round(tracker.voltage_V, 1)),
        "current": format_setting(round(tracker.current_A, 2)),
        "load": format_setting(round(load_at(tracker), 2)),
    }
    if operation.kind != "mpp" and operation.value is not None:
        fields[operation.kind] = format_setting(operation.value)
    hidden = {"voltage", "current", "load"} - {operation.kind}
    hidden |= surface_hidden(state) | scatter_hidden(state)
    hidden |= {"cell_temperature"} if temperature == "ambient" else {"ambient", "wind"}
    if not scenario.note or any(read_demo(name).note == scenario.note for name in demo_names()):
        hidden.add("scenario_note")
    steps = {"undo": state.can_undo, "redo": state.can_redo, "reset": state.can_undo}
    return {
        "reads": {
            "scenario": _(scenario.title),
            "compare": _compare_read(state.comparison),
            "light": _("film of a day") if state.moment else format_setting(light.irradiance_W_m2, "W/m²"),
            "weather": _temperature_read(scenario),
            "array": _array_read(scenario),
            "string": describe_short(state),
            "operation": _operation_read(scenario),
            "files": _("open, save"),
        },
        "fields": fields | surface_values(state) | scatter_values(state) | limit_values(state),
        "options": {"type": types, "module_type": types, **surface_options(state)},
        "hidden": sorted(hidden),
        "on": [name for name, on in (("theme", state.theme == "dark"), ("large", state.large)) if on],
        "off": [name for name, able in steps.items() if not able],
    }


def load_at(point: OperatingPoint) -> float:
    """The load resistance, in ohm, that holds an array at this point; 100 where no current flows."""
    return max(0.001, point.voltage_V / point.current_A) if point.current_A > 1e-6 else 100.0


def _compare_read(comparison: str) -> str:
    return {"last": _("last change"), "kept": _("kept state"), "off": _("nothing")}[comparison]


def _array_read(scenario: Scenario) -> str:
    lengths = {len(string.modules) for string in scenario.array.strings}
    count = len(scenario.array.strings)
    if len(lengths) == 1:
        shape = f"{count}\u2009×\u2009{lengths.pop()}"
    else:
        shape = ngettext("{count} string", "{count} strings", count).format(count=count)
    trackers = _("one tracker") if scenario.array.tracking == "one" or count == 1 else _("tracker per string")
    return f"{shape}, {trackers}"


def _module_types(scenario: Scenario) -> list[list[str]]:
    """Name and title of every module type: the scenario's own first, then those of the catalogue."""
    mine = _("{title} (of this scenario)")
    own = [[kind.name, mine.format(title=_(kind.title))] for kind in scenario.module_types]
    hidden = {name for name, _title in own}
    return own + [[name, _(kind.title)] for name, kind in CATALOGUE.items() if name not in hidden]


def _yes(value: bool) -> str:
    return "yes" if value else "no"


def describe_short(state: State) -> str:
    """Which string the menu changes."""
    if state.level == "array":
        return _("all of them")
    return _("string {number}").format(number=state.focus.string)


def _string_note(state: State) -> str:
    if state.level == "array":
        return _("All strings alike. Go nearer on the roof to change one alone.")
    return _("String {number}, the one in focus.").format(number=state.focus.string)


def _module_note(state: State) -> str:
    place = state.modules_in_view()
    if place.string is None:
        return _("All modules alike.")
    if place.module is None:
        return _("All modules of string {number}.").format(number=place.string)
    return _("Module {module} of string {number}. At the level of the string all its modules change.").format(
        module=place.module, number=place.string
    )


def _temperature_read(scenario: Scenario) -> str:
    weather = scenario.weather
    if weather.heat == "fixed":
        return format_setting(weather.cell_temperature_C, "°C")
    return _("air {air}").format(air=format_setting(weather.ambient_temperature_C, "°C"))


def _operation_read(scenario: Scenario) -> str:
    operation = scenario.operation
    if operation.kind == "mpp" or operation.value is None:
        return _("at MPP")
    return format_setting(operation.value, {"voltage": "V", "current": "A", "load": "Ω"}[operation.kind])


def _heat_note(heat: str) -> str:
    return {
        "fixed": _("Every cell has the temperature you give."),
        "steady": _("Each cell is as warm as its light and the wind make it (Faiman 2008)."),
        "feedback": _("The power a cell delivers or eats counts as well, until temperatures settle."),
    }[heat]


def _operation_note(state: State) -> str:
    points = [tracker.point for tracker in state.solution.trackers]
    said = [
        f"{format_number(one.voltage_V, 'V')} · {format_number(one.current_A, 'A')}"
        f" · {format_fixed(one.power_W, 'W')}"
        for one in points[:4]
    ]
    return _("Now: {points}").format(points="; ".join(said))

"""The fixed table of what a study can vary, each a pure change of a scenario."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Literal, Protocol, TypeAlias, get_args

from pvsim.array import change
from pvsim.array.array import Array, Grounded, Module, String, Tracking, Wiring
from pvsim.array.fault import Fault
from pvsim.array.fault_kind import FAULT_KINDS, fault_kind
from pvsim.array.light import Light, Shadow
from pvsim.array.limits import MAX_MODULES_PER_STRING, MAX_STRINGS
from pvsim.array.mounting import Orientation
from pvsim.array.place import WHOLE_ARRAY, Level, Place, level_of
from pvsim.array.scatter import USUAL_SCATTER
from pvsim.array.scenario import Scenario, check_place
from pvsim.array.weather import Heat
from pvsim.errors import ScenarioError
from pvsim.study.places import at_level

Value: TypeAlias = float | str | Place
At = Literal["never", "perhaps", "always"]


class Details(Protocol):
    """What an axis says beside its values: which fault, where its wire ends, and which shadow, from 1."""

    @property
    def fault(self) -> str: ...
    @property
    def other(self) -> Place | None: ...
    @property
    def shadow(self) -> int: ...


Apply = Callable[[Scenario, Any, Place, Details], Scenario]


@dataclass(frozen=True, slots=True, kw_only=True)
class Variation:
    """One thing that can be varied.

    Parameters
    ----------
    values : "numbers", "words" or "places"
        What its values are.
    meaning : str
        For people; the list in the guide has it.
    apply : callable
        (Scenario, value, place, Details) -> Scenario.
    at : "never", "perhaps" or "always"
        Whether an axis of it says where; where it may and does not, the whole array is meant.
    known : tuple of str
        The words it may have; empty where the scenario knows them.
    takes : tuple of str
        Other fields of an axis that belong to it.
    """

    values: Literal["numbers", "words", "places"]
    meaning: str
    apply: Apply
    at: At = "never"
    known: tuple[str, ...] = ()
    takes: tuple[str, ...] = ()


_STRINGS: tuple[Level, ...] = ("array", "string")
_MODULES: tuple[Level, ...] = (*_STRINGS, "module")
_PAINTED: tuple[Level, ...] = (*_MODULES, "substring", "cell")


def _part(scenario: Scenario, place: Place, fit: tuple[Level, ...], usual: Level) -> Place:
    """The place itself where it fits a change, else the part of the usual level that goes with it."""
    return place if level_of(place) in fit else at_level(scenario, place, usual)


def _nothing(scenario: Scenario, value: Place, place: Place, details: Details) -> Scenario:
    check_place(scenario, value)
    return scenario


def _transmission(scenario: Scenario, value: float, place: Place, details: Details) -> Scenario:
    return change.paint(scenario, [_part(scenario, place, _PAINTED, "substring")], value)


def _fault(scenario: Scenario, value: str, place: Place, details: Details) -> Scenario:
    return _broken(scenario, value, place, None, details)


def _fault_size(scenario: Scenario, value: float, place: Place, details: Details) -> Scenario:
    return _broken(scenario, details.fault, place, value, details)


def _broken(scenario: Scenario, kind: str, place: Place, size: float | None, details: Details) -> Scenario:
    known = fault_kind(kind)
    other = details.other if kind == "string-bridge" else None
    part = _part(scenario, place, known.scopes, known.scope)
    return change.add_fault(scenario, Fault(kind, part, size, other))


def _module_type(scenario: Scenario, value: str, place: Place, details: Details) -> Scenario:
    return change.set_module_type(scenario, value, _part(scenario, place, _MODULES, "module"))


def _light(name: str) -> Apply:
    return lambda scenario, value, place, details: change.set_light(scenario, **{name: value})


def _weather(name: str) -> Apply:
    return lambda scenario, value, place, details: change.set_weather(scenario, None, **{name: value})


def _scatter_seed(scenario: Scenario, value: float, place: Place, details: Details) -> Scenario:
    seed = int(value) if value == int(value) else value
    return change.set_scatter(scenario, scenario.scatter or USUAL_SCATTER, seed=seed)


def _count(name: str, most: int, change_to: Callable[[Scenario, int, Place], Scenario]) -> Apply:
    def apply(scenario: Scenario, value: float, place: Place, details: Details) -> Scenario:
        if value != int(value) or not 1 <= value <= most:
            raise ScenarioError(
                f"{name} are {value:g}",
                expected=f"a whole number from 1 to {most}",
                mend="Count them",
            )
        return change_to(scenario, int(value), _part(scenario, place, _STRINGS, "string"))

    return apply


def _string_count(scenario: Scenario, count: int, place: Place) -> Scenario:
    return change.set_string_count(scenario, count)


def _operation(kind: Any) -> Apply:
    return lambda scenario, value, place, details: change.set_operation(scenario, kind, value)


def _array(name: str) -> Apply:
    return lambda scenario, value, place, details: change.set_array(scenario, None, **{name: value})


def _string(name: str) -> Apply:
    def apply(scenario: Scenario, value: float, place: Place, details: Details) -> Scenario:
        return change.set_strings(scenario, _part(scenario, place, _STRINGS, "string"), **{name: value})

    return apply


def _shadow(name: str) -> Apply:
    return lambda scenario, value, place, details: change.change_shadow(
        scenario, details.shadow - 1, **{name: value}
    )


def _numbers(meaning: str, apply: Apply, at: At = "never", takes: tuple[str, ...] = ()) -> Variation:
    return Variation(values="numbers", meaning=meaning, apply=apply, at=at, takes=takes)


def _words(meaning: str, apply: Apply, known: tuple[str, ...] = (), at: At = "never") -> Variation:
    return Variation(values="words", meaning=meaning, apply=apply, at=at, known=known)


def _cast(meaning: str, name: str) -> Variation:
    return _numbers(meaning, _shadow(name), takes=("shadow",))


VARIATIONS: dict[str, Variation] = {
    "place": Variation(
        values="places", meaning="names parts of the array for what follows; changes nothing", apply=_nothing
    ),
    # Light
    "transmission": _numbers("share of the light that a place gets", _transmission, "always"),
    "irradiance_W_m2": _numbers("light on the array", _light("irradiance_W_m2")),
    "diffuse_fraction": _numbers(
        "share of the light that arrives in a shadow cast from afar", _light("diffuse_fraction")
    ),
    "rear_irradiance_W_m2": _numbers("light on the rear side", _light("rear_irradiance_W_m2")),
    "irradiance_factor": _numbers(
        "light on a string relative to the array's", _string("irradiance_factor"), "perhaps"
    ),
    "shadow_x_m": _cast("where a shadow's centre is, to the right", "x_m"),
    "shadow_y_m": _cast("where it is, downwards", "y_m"),
    "shadow_width_m": _cast("a shadow's width", "width_m"),
    "shadow_height_m": _cast("its height", "height_m"),
    "shadow_angle_deg": _cast("how far it is turned clockwise", "angle_deg"),
    "shadow_transmission": _cast("share of the light that comes through it", "transmission"),
    # Faults
    "fault": Variation(
        values="words",
        meaning="a fault of its usual size",
        apply=_fault,
        at="always",
        known=tuple(FAULT_KINDS),
        takes=("other",),
    ),
    "fault_size": _numbers("how large one kind of fault is", _fault_size, "always", ("fault", "other")),
    # Weather
    "cell_temperature_C": _numbers("temperature of every cell", _weather("cell_temperature_C")),
    "ambient_temperature_C": _numbers("temperature of the air", _weather("ambient_temperature_C")),
    "wind_m_s": _numbers("wind", _weather("wind_m_s")),
    "heat": _words("what sets the cells' temperature", _weather("heat"), get_args(Heat)),
    # How the array is made and held
    "strings": _numbers(
        "how many strings: the last ones go, or more like the last one come",
        _count("strings", MAX_STRINGS, _string_count),
    ),
    "modules": _numbers(
        "how many modules a string has, likewise",
        _count("modules", MAX_MODULES_PER_STRING, change.set_string_length),
        "perhaps",
    ),
    "scatter_seed": _numbers("number that cells and modules which differ are drawn from", _scatter_seed),
    "module_type": _words("type of the modules", _module_type, at="perhaps"),
    "cable_resistance_ohm": _numbers(
        "resistance of a string's cables", _string("cable_resistance_ohm"), "perhaps"
    ),
    "connector_resistance_ohm": _numbers(
        "resistance of each connector pair", _string("connector_resistance_ohm"), "perhaps"
    ),
    "main_cable_resistance_ohm": _numbers(
        "resistance of the main cable", _array("main_cable_resistance_ohm")
    ),
    "tracking": _words("trackers", _array("tracking"), get_args(Tracking)),
    "wiring": _words("how the strings are joined", _array("wiring"), get_args(Wiring)),
    "orientation": _words("how the modules lie", _array("orientation"), get_args(Orientation)),
    "grounded": _words("which pole touches earth", _array("grounded"), get_args(Grounded)),
    "row_gap_m": _numbers("gap between rows of modules", _array("row_gap_m")),
    "module_gap_m": _numbers("gap between modules of a row", _array("module_gap_m")),
    "voltage_V": _numbers("voltage the trackers hold", _operation("voltage")),
    "current_A": _numbers("current they hold", _operation("current")),
    "load_ohm": _numbers("load they put on the array", _operation("load")),
}

# One small array on which the range of a number shows before any case is solved.
_SAMPLE = Scenario(
    title="sample",
    array=Array(strings=(String(modules=(Module("full-36"),)),)),
    light=Light(shadows=(Shadow(kind="pole"),)),
)
_SAMPLE_PLACE = Place(1, 1)


def check_number(vary: str, value: float, details: Details) -> None:
    """Refuse a number that no scenario could have.

    Raises
    ------
    ScenarioError
        As the array layer refuses it.
    """
    if vary == "fault_size":
        kind = fault_kind(details.fault)
        place = at_level(_SAMPLE, _SAMPLE_PLACE, kind.scope)
        Fault(details.fault, place, value, Place(1, 2) if details.fault == "string-bridge" else None)
    elif vary.startswith("shadow_"):
        change.change_shadow(_SAMPLE, 0, **{vary.removeprefix("shadow_"): value})
    else:
        place = WHOLE_ARRAY if VARIATIONS[vary].at == "never" else _SAMPLE_PLACE
        VARIATIONS[vary].apply(_SAMPLE, value, place, details)

"""What a measured curve is held against: its part, the light and temperature it was taken at, a procedure."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, cast

from pvsim.app.number_field import read_number
from pvsim.app.session.state import State
from pvsim.app.words import _, decimal_mark
from pvsim.array.part_place import cells_of, place_at
from pvsim.array.place import Place, describe_place, format_place, parse_place
from pvsim.array.scenario import check_place
from pvsim.errors import PvsimError
from pvsim.traced.overlay import PROCEDURES, Procedure
from pvsim.traced.traced_curve import WARMTH_C, LIGHT_W_m2

__all__ = [
    "LEVELS",
    "Setting",
    "bench_values",
    "condition_text",
    "field_labels",
    "part_choices",
    "read_setting",
]

LEVELS = ("array", "string", "module")
ZERO_C = 273.15


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """What was typed and chosen.

    Parameters
    ----------
    place : Place
    procedure : Procedure
    irradiance_W_m2, temperature_C : float
        At which it was measured.
    to_irradiance_W_m2, to_temperature_C : float
        To which it is translated.
    """

    place: Place
    procedure: Procedure
    irradiance_W_m2: float
    temperature_C: float
    to_irradiance_W_m2: float
    to_temperature_C: float


def part_choices(state: State) -> dict[str, Any]:
    """The parts that hold the place chosen in the page, and which of them the page shows."""
    places = [place_at(state.scenario, state.focus, level) for level in LEVELS]
    now = state.level if state.level in LEVELS else "module"
    return {
        "parts": [[format_place(one), describe_place(one)] for one in places],
        "part": format_place(places[LEVELS.index(now)]),
    }


def bench_values(state: State) -> dict[str, str]:
    """Irradiance and cell temperature of the bench, as somebody would type them."""
    warmth = state.solution.cells.temperature_K[cells_of(state.scenario, Place())].mean() - ZERO_C
    return {
        "to_irradiance": _typed(state.scenario.light.irradiance_W_m2),
        "to_temperature": _typed(round(float(warmth), 1)),
    }


def field_labels() -> dict[str, str]:
    """What the fields are called."""
    return {
        "irradiance": _("Irradiance when measured"),
        "temperature": _("Cell temperature when measured"),
        "to_irradiance": _("Irradiance to translate to"),
        "to_temperature": _("Cell temperature to translate to"),
    }


def condition_text(value: float | None) -> str:
    """A number of a file as it stands in a field."""
    return "" if value is None else _typed(value)


def read_setting(state: State, given: Any) -> tuple[Setting | None, list[dict[str, str]]]:
    """What was typed, or everything that is wrong with it at its fields.

    Parameters
    ----------
    state : State
    given : dict
        By field; not trusted.
    """
    typed: Mapping[str, Any] = given if isinstance(given, dict) else {}
    problems: list[dict[str, str]] = []

    def tried(field: str, read: Callable[[], Any], otherwise: Any) -> Any:
        try:
            return read()
        except PvsimError as error:
            problems.append({"field": field, "text": str(error)})
            return otherwise

    def number(field: str, span: tuple[float, float], unit: str) -> float:
        def read() -> float:
            return read_number(
                typed.get(field, ""), name=field_labels()[field], least=span[0], most=span[1], unit=unit
            )

        return float(tried(field, read, span[0]))

    def part() -> Place:
        place = parse_place(str(typed.get("part", ""))[:40])
        check_place(state.scenario, place)
        return place

    procedure = typed.get("procedure")
    place = tried("part", part, Place())
    light, warmth = number("irradiance", LIGHT_W_m2, "W/m²"), number("temperature", WARMTH_C, "°C")
    to_light, to_warmth = light, warmth
    if procedure in ("first", "second"):
        to_light = number("to_irradiance", LIGHT_W_m2, "W/m²")
        to_warmth = number("to_temperature", WARMTH_C, "°C")
    if problems:
        return None, problems
    return (
        Setting(
            place=place,
            procedure=cast(Procedure, procedure if procedure in PROCEDURES else "none"),
            irradiance_W_m2=light,
            temperature_C=warmth,
            to_irradiance_W_m2=to_light,
            to_temperature_C=to_warmth,
        ),
        [],
    )


def _typed(value: float) -> str:
    return f"{value:.6g}".replace(".", decimal_mark())

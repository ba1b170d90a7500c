"""A measured curve laid over the model's, both at one light and temperature."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal, get_args

from pvsim.array.change import set_light, set_weather
from pvsim.array.index import array_index, module_range
from pvsim.array.place import Place
from pvsim.array.scenario import Scenario
from pvsim.circuit.solution import Characteristic
from pvsim.errors import FileError
from pvsim.prompt import summary
from pvsim.traced.correction import curve_at, first_correction, second_correction
from pvsim.traced.ranking import Ranking, rank_faults
from pvsim.traced.residual import Beside, lay_beside
from pvsim.traced.shape import Deviations, shape_deviations
from pvsim.traced.traced_curve import TracedCurve
from pvsim.traced.translate import Correction, translate
from pvsim.words import _

__all__ = [
    "LIKELY_PART",
    "PROCEDURES",
    "Overlay",
    "Procedure",
    "at_conditions",
    "is_of_another_part",
    "known_conditions",
    "lay_over",
    "module_types_of",
    "rank_measured",
    "with_conditions",
]

Procedure = Literal["none", "first", "second"]
PROCEDURES: tuple[Procedure, ...] = get_args(Procedure)

# Voc measured, as a share of the model's, of the part that is meant: beyond it another part, module or unit
# is likelier than any fault. Reckoned, no source.
LIKELY_PART = (0.6, 1.25)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Overlay:
    """A measured curve over the model's.

    Parameters
    ----------
    measured, laid : TracedCurve
        As it was measured, and as it is laid over the model; the same where it is not translated.
    model : Characteristic
        Of the part, at the light and temperature of `laid`.
    correction : FirstCorrection or SecondCorrection or None
        By which it was translated.
    beside : Beside
        What is missed along it, and the key figures of both.
    shapes : Deviations
        The six classes of deviation.
    """

    measured: TracedCurve
    laid: TracedCurve
    model: Characteristic
    correction: Correction | None
    beside: Beside
    shapes: Deviations

    __repr__ = summary


def lay_over(
    curve: TracedCurve,
    scenario: Scenario,
    place: Place,
    *,
    procedure: Procedure = "none",
    irradiance_W_m2: float | None = None,
    temperature_C: float | None = None,
) -> Overlay:
    """Translate a measured curve, and lay it over the model of its part.

    Parameters
    ----------
    curve : TracedCurve
        With its irradiance and temperature.
    scenario : Scenario
        With the part as it is thought to be, shade and faults included.
    place : Place
        The part that was measured.
    procedure : "none", "first" or "second"
        Of IEC 60891. With "none" the model goes to the light and temperature of the measurement.
    irradiance_W_m2, temperature_C : float
        To translate to; they count for procedures alone.

    Raises
    ------
    FileError
        If light or temperature are not known or out of the procedure's reach, or one of the two is no
        curve from short to open circuit.
    ScenarioError
        If the array, as built, does not have the part.
    """
    G1, T1 = known_conditions(curve)
    correction: Correction | None = None
    laid, G, T = curve, G1, T1
    if procedure != "none":
        G, T = (
            G1 if irradiance_W_m2 is None else irradiance_W_m2,
            T1 if temperature_C is None else temperature_C,
        )
        correction = (first_correction if procedure == "first" else second_correction)(scenario, place)
        laid = translate(curve, correction, irradiance_W_m2=G, temperature_C=T)
    model = curve_at(scenario, place, G, T)
    return Overlay(
        measured=curve,
        laid=laid,
        model=model,
        correction=correction,
        beside=lay_beside(laid, model),
        shapes=shape_deviations(laid, model),
    )


def rank_measured(curve: TracedCurve, scenario: Scenario, place: Place) -> Ranking:
    """Faults ranked at the light and temperature of the measurement, where no translation errs.

    Raises
    ------
    FileError
        As `rank_faults`, or if light or temperature are not known.
    """
    return rank_faults(curve, at_conditions(scenario, *known_conditions(curve)), place)


def at_conditions(scenario: Scenario, irradiance_W_m2: float, temperature_C: float) -> Scenario:
    """A scenario in one light, all its cells at one temperature, as `curve_at` looks at it."""
    there = set_light(scenario, irradiance_W_m2=irradiance_W_m2)
    return set_weather(there, heat="fixed", cell_temperature_C=temperature_C)


def known_conditions(curve: TracedCurve) -> tuple[float, float]:
    """Irradiance in W/m2 and temperature in degrees C at which a curve was measured.

    Raises
    ------
    FileError
        If one of them is not known.
    """
    if curve.irradiance_W_m2 is None or curve.temperature_C is None:
        raise FileError(
            _("the light or the temperature of the measured curve is not known"),
            expected=_("both, as they were measured beside the curve"),
            mend=_("Type them in"),
        )
    return curve.irradiance_W_m2, curve.temperature_C


def with_conditions(
    curve: TracedCurve, irradiance_W_m2: float | None, temperature_C: float | None
) -> TracedCurve:
    """The curve with light and temperature that somebody typed in place of what its file says.

    Raises
    ------
    FileError
        If they are beyond what can have been measured.
    """
    return replace(
        curve,
        irradiance_W_m2=curve.irradiance_W_m2 if irradiance_W_m2 is None else irradiance_W_m2,
        temperature_C=curve.temperature_C if temperature_C is None else temperature_C,
    )


def is_of_another_part(laid: Overlay) -> bool:
    """Whether open-circuit voltages are so far apart that the part, the module or a unit may be wrong."""
    least, most = LIKELY_PART
    return not least <= laid.beside.measured.voc_V / laid.beside.modelled.voc_V <= most


def module_types_of(scenario: Scenario, place: Place) -> tuple[str, ...]:
    """Titles of the module types in a part, each once, in the order of its modules."""
    index = array_index(scenario)
    first, end = module_range(index, place)
    kinds = [index.kinds[k].kind for k in index.module_kind[first:end]]
    return tuple(dict.fromkeys(kind.title for kind in kinds))

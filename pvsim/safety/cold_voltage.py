"""Open-circuit voltage on the coldest bright morning, against what the system is made for."""

from __future__ import annotations

from dataclasses import dataclass

from pvsim.array.index import array_index
from pvsim.array.scenario import Scenario
from pvsim.errors import ScenarioError
from pvsim.safety.ratings import COLDEST_C, Ratings
from pvsim.safety.standard_light import string_curves
from pvsim.words import _

__all__ = ["ColdVoltage", "cold_factor", "cold_voltages"]

# Lowest expected temperature, from so many degrees C on, and the factor on the voltage at 25 degrees C, for
# crystalline silicon where the maker gives no coefficient. Source: IEC 62548, table of voltage correction
# factors (from memory; the same steps stand in other codes).
FACTORS = (
    (25.0, 1.00), (20.0, 1.02), (15.0, 1.04), (10.0, 1.06), (5.0, 1.08), (0.0, 1.10), (-5.0, 1.12),
    (-10.0, 1.14), (-15.0, 1.16), (-20.0, 1.18), (-25.0, 1.20), (-30.0, 1.21), (-35.0, 1.23), (-40.0, 1.25),
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class ColdVoltage:
    """The cold open-circuit voltage of one string.

    Parameters
    ----------
    string : int
        Its number, from 1.
    modules : int
    standard_V : float
        Open-circuit voltage at 25 degrees C and 1000 W/m2.
    cold_V : float
        At the lowest temperature, by the model's cells.
    table_V : float
        At the lowest temperature, by the table of the standard.
    limit_V : float
        What the system is made for.
    most_modules : int
        So many modules, as the string has on average, would stay within the limit by both.
    """

    string: int
    modules: int
    standard_V: float
    cold_V: float
    table_V: float
    limit_V: float
    most_modules: int

    @property
    def worse_V(self) -> float:
        """The higher one of model and table."""
        return max(self.cold_V, self.table_V)

    @property
    def over(self) -> bool:
        """Whether the string passes the limit by one of the two."""
        return self.worse_V > self.limit_V


def cold_factor(lowest_C: float) -> float:
    """The factor of the standard's table for a lowest expected temperature.

    Parameters
    ----------
    lowest_C : float
        -40 to 25; between two steps the colder one's factor counts.

    Raises
    ------
    ScenarioError
        If it is colder than the table goes, or warmer than 25 degrees C.
    """
    if not COLDEST_C <= lowest_C <= 25.0:
        raise ScenarioError(
            _("the lowest temperature is {value} °C").format(value=f"{lowest_C:g}"),
            expected=_("from {least} to 25 °C").format(least=f"{COLDEST_C:g}"),
            mend=_("Take the coldest clear morning on record at the place, in °C"),
        )
    return next(factor for from_C, factor in FACTORS if lowest_C >= from_C)


def cold_voltages(scenario: Scenario, ratings: Ratings) -> tuple[ColdVoltage, ...]:
    """The cold open-circuit voltage of each string as built, sound and in full light.

    Notes
    -----
    IEC 62548 (from memory): the maximum voltage of an array is its open-circuit voltage at 25 degrees C
    corrected to the lowest expected temperature, by the maker's coefficients or by a table, and no part of
    it may be made for less.
    """
    factor = cold_factor(ratings.lowest_C)
    warm, cold = string_curves(scenario, 25.0), string_curves(scenario, ratings.lowest_C)
    strings, found = array_index(scenario).strings, []
    for number, (at_25, at_lowest) in enumerate(zip(warm, cold, strict=True), start=1):
        modules = len(strings[number - 1].modules)
        worse = max(at_lowest.voc_V, factor * at_25.voc_V)
        found.append(
            ColdVoltage(
                string=number,
                modules=modules,
                standard_V=at_25.voc_V,
                cold_V=at_lowest.voc_V,
                table_V=factor * at_25.voc_V,
                limit_V=ratings.system_voltage_V,
                most_modules=int(ratings.system_voltage_V * modules / worse + 1e-9),
            )
        )
    return tuple(found)

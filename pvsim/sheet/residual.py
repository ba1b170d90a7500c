"""Each input of a sheet beside what the whole module does, as pvsim solves it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from pvsim.array.array import Array, Module, String
from pvsim.array.build import part_circuit
from pvsim.array.change import set_weather
from pvsim.array.module import ModuleType
from pvsim.array.place import Place
from pvsim.array.scenario import Scenario
from pvsim.circuit.solution import Characteristic
from pvsim.circuit.solver import solve
from pvsim.prompt import summary
from pvsim.sheet.coefficient import in_unit_of
from pvsim.sheet.data_sheet import DataSheet, rated_power_W

STC_C = 25.0
# Coefficients are read as mean slopes over 25 +- 15 degrees C: IEC 61215-2, MQT 04, measures them over at
# least 30 K (from memory).
APART_K: Final = 15.0
_POINTS = 8  # key points are found to the solver's tolerance, however few points the curve has


@dataclass(frozen=True, slots=True, kw_only=True)
class Reproduced:
    """One number of the sheet beside the module's.

    Parameters
    ----------
    name : str
        "isc", "voc", "imp", "vmp", "pmp", "alpha", "beta" or "gamma".
    unit : str
        Of both numbers; a coefficient's is that of the paper.
    given, found : float
        On the paper, and of the module solved.
    fitted : bool
        False for gamma, which nothing is fitted to: it comes out.
    """

    name: str
    unit: str
    given: float
    found: float
    fitted: bool = True

    __repr__ = summary


def residual(one: Reproduced) -> float:
    """What was found less what was given, in their unit."""
    return one.found - one.given


def relative_residual(one: Reproduced) -> float:
    """The residual as a share of what was given."""
    return residual(one) / one.given


def one_module(kind: ModuleType, title: str, note: str = "") -> Scenario:
    """A scenario with one module on the bench, on leads without resistance, at standard test conditions."""
    string = String(modules=(Module(type=kind.name),), cable_resistance_ohm=0.0, connector_resistance_ohm=0.0)
    scenario = Scenario(
        title=title,
        note=note,
        module_types=(kind,),
        array=Array(strings=(string,), main_cable_resistance_ohm=0.0),
    )
    return set_weather(scenario, heat="fixed", cell_temperature_C=STC_C)


def module_curve(scenario: Scenario, temperature_C: float) -> Characteristic:
    """The key points of the one module at 1000 W/m2 and a cell temperature."""
    warm = set_weather(scenario, cell_temperature_C=temperature_C)
    return solve(part_circuit(warm, Place(1, 1)), points=_POINTS)


def reproduce(sheet: DataSheet, kind: ModuleType) -> tuple[Reproduced, ...]:
    """Solve the module at three temperatures and put its numbers beside those of the sheet.

    Parameters
    ----------
    sheet : DataSheet
    kind : ModuleType
        What was fitted to it.
    """
    scenario = one_module(kind, sheet.title)
    cold, curve, warm = (module_curve(scenario, STC_C + rise) for rise in (-APART_K, 0.0, APART_K))
    power = rated_power_W(sheet)

    def slope(after: float, before: float, at: float) -> float:
        return (after - before) / (2.0 * APART_K * at)

    alpha = slope(warm.isc_A, cold.isc_A, curve.isc_A)
    beta = slope(warm.voc_V, cold.voc_V, curve.voc_V)
    gamma = slope(warm.mpp.power_W, cold.mpp.power_W, curve.mpp.power_W)
    return (
        Reproduced(name="isc", unit="A", given=sheet.isc_A, found=curve.isc_A),
        Reproduced(name="voc", unit="V", given=sheet.voc_V, found=curve.voc_V),
        Reproduced(name="imp", unit="A", given=sheet.imp_A, found=curve.mpp.current_A),
        Reproduced(name="vmp", unit="V", given=sheet.vmp_V, found=curve.mpp.voltage_V),
        Reproduced(name="pmp", unit="W", given=power, found=curve.mpp.power_W),
        Reproduced(
            name="alpha",
            unit=sheet.alpha.unit,
            given=sheet.alpha.value,
            found=in_unit_of(sheet.alpha, alpha, curve.isc_A),
        ),
        Reproduced(
            name="beta",
            unit=sheet.beta.unit,
            given=sheet.beta.value,
            found=in_unit_of(sheet.beta, beta, curve.voc_V),
        ),
        Reproduced(
            name="gamma",
            unit=sheet.gamma.unit,
            given=sheet.gamma.value,
            found=in_unit_of(sheet.gamma, gamma, curve.mpp.power_W),
            fitted=False,
        ),
    )

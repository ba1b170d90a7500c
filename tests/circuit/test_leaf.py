"""Junction parameters: constants, temperature, and diodes from a data point."""

from __future__ import annotations

import pytest

from pvsim.circuit import Cell, Diode, Resistor, diode_from_forward_drop
from pvsim.circuit.junctions import Laws
from pvsim.circuit.leaf import (
    ELEMENTARY_CHARGE_C,
    WIRE,
    BOLTZMANN_J_per_K,
    diode_junction,
    leaf_of,
    photocurrent,
    thermal_voltage,
)
from pvsim.errors import CircuitError
from tests.circuit.samples import PLAIN, TWO_DIODES


def test_the_constants_are_those_of_scipy() -> None:
    constants = pytest.importorskip("scipy.constants")
    assert constants.Boltzmann == BOLTZMANN_J_per_K
    assert constants.elementary_charge == ELEMENTARY_CHARGE_C


def test_irradiance_scales_the_photocurrent() -> None:
    assert photocurrent(Cell(type=PLAIN, irradiance_W_m2=250.0)) == pytest.approx(
        PLAIN.photocurrent_A / 4.0,
        rel=1e-15,  # one multiplication
    )


def test_a_crack_cuts_current_and_shunt_off_with_the_area() -> None:
    whole, half = leaf_of(Cell(type=PLAIN)), leaf_of(Cell(type=PLAIN, active_fraction=0.5))
    assert half.source_A == pytest.approx(0.5 * whole.source_A, rel=1e-15)  # one multiplication
    assert half.junction.conductance_S == pytest.approx(0.5 * whole.junction.conductance_S, rel=1e-15)
    assert half.resistance_ohm == pytest.approx(2.0 * whole.resistance_ohm, rel=1e-15)


def test_the_shunt_follows_irradiance_only_where_the_type_says_so() -> None:
    def conductance(type, irradiance_W_m2):  # type: ignore[no-untyped-def]
        return leaf_of(Cell(type=type, irradiance_W_m2=irradiance_W_m2)).junction.conductance_S

    assert conductance(PLAIN, 100.0) == conductance(PLAIN, 1000.0)
    # De Soto et al. 2006: Rsh = Rsh,ref * 1000 / G.
    assert conductance(TWO_DIODES, 100.0) == pytest.approx(0.1 * conductance(TWO_DIODES, 1000.0), rel=1e-14)


def test_a_diode_from_a_data_point_drops_that_voltage_at_that_current() -> None:
    diode = diode_from_forward_drop(0.55, 20.0, series_resistance_ohm=0.005)
    inner = 0.55 - 20.0 * 0.005
    rise, _ = Laws([diode_junction(diode)]).evaluate(inner + 0.0 * Laws([WIRE]).a1)
    leak = inner / diode.leakage_resistance_ohm
    assert rise[0, 0] - leak == pytest.approx(20.0, rel=1e-9)  # exp and its logarithm


def test_a_forward_drop_eaten_by_the_series_resistance_is_refused() -> None:
    with pytest.raises(CircuitError, match=r"leaves -0\.1 V for the junction"):
        diode_from_forward_drop(0.5, 10.0, series_resistance_ohm=0.06)


def test_a_warm_diode_drops_less_at_the_same_current() -> None:
    cold, warm = (diode_junction(Diode(saturation_current_A=1e-6, temperature_K=T)) for T in (298.15, 398.15))
    x = 10.0 + 0.0 * Laws([cold]).a1
    # Public data sheet, 45 V Schottky axial type: 0.55 V at 25 degrees C, 0.51 V at 125.
    assert Laws([warm]).invert(x)[0, 0] < Laws([cold]).invert(x)[0, 0]


@pytest.mark.parametrize("condition", ["open", "short"])
def test_open_and_short_elements_are_wires_of_the_same_resistance(condition) -> None:  # type: ignore[no-untyped-def]
    cell = leaf_of(Cell(type=PLAIN, condition=condition))
    diode = leaf_of(Diode(saturation_current_A=1e-6, condition=condition))
    assert cell == diode
    assert cell == leaf_of(Resistor(resistance_ohm=cell.resistance_ohm))


def test_the_thermal_voltage_at_25_degrees_is_the_tabled_one() -> None:
    # k T / q with the constants of 2019: 25.69258 mV (recomputed).
    assert thermal_voltage(298.15) == pytest.approx(25.69258e-3, abs=5e-9)  # printed digits

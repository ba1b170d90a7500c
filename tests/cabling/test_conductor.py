"""Copper: the standard's figures, a calculated example, and what is refused."""

from __future__ import annotations

import pytest

from pvsim.cabling import Conductor, cable_loss_W, cable_resistance_ohm, voltage_drop_V
from pvsim.errors import CablingError


@pytest.mark.parametrize(
    ("section_mm2", "plain", "tinned"),
    # IEC 60228:2004, class 5, most resistance in ohm/km at 20 °C.
    [(2.5, 7.98, 8.21), (4, 4.95, 5.09), (6, 3.30, 3.39), (10, 1.91, 1.95)],
)
def test_a_kilometre_has_the_resistance_of_the_standard(section_mm2, plain, tinned) -> None:
    for coated, ohm in ((False, plain), (True, tinned)):
        conductor = Conductor(section_mm2=section_mm2, tinned=coated)
        assert cable_resistance_ohm(conductor, 1000.0) == pytest.approx(ohm, rel=1e-12)
    # Solid copper of the nominal section has less: 17.241 nohm m (IEC 60028); strands are laid round each
    # other and may be thinner, which the standard lets come to a fifth.
    solid = 17.241 / section_mm2
    assert solid < plain < tinned < 1.2 * solid


@pytest.mark.parametrize(("temperature_C", "K"), [(50, 0.893), (70, 0.833), (90, 0.781)])
def test_warm_copper_follows_the_standards_factor(temperature_C, K) -> None:
    # IEC 60228:2004, table of temperature factors, three decimals
    cold = cable_resistance_ohm(Conductor(), 30.0)
    warm = cable_resistance_ohm(Conductor(), 30.0, temperature_C=temperature_C)
    assert round(cold / warm, 3) == K
    # Pure copper, 1 / 0.00393 - 20 = 234.5 (IEC 60028): apart by less than one half of a percent.
    assert warm / cold == pytest.approx((234.5 + temperature_C) / 254.5, rel=5e-3)


def test_fifty_metres_of_a_loop_at_ten_amperes() -> None:
    # Calculated by hand: 5.09 ohm/km x 50 m = 0.2545 ohm; x 300/250 = 0.3054 ohm at 70 °C
    conductor = Conductor(section_mm2=4, tinned=True)
    assert cable_resistance_ohm(conductor, 50.0) == pytest.approx(0.2545, rel=1e-6)
    assert cable_resistance_ohm(conductor, 50.0, temperature_C=70) == pytest.approx(0.3054, rel=1e-6)
    assert voltage_drop_V(conductor, 50.0, 10.0, temperature_C=70) == pytest.approx(3.054, rel=1e-6)
    assert cable_loss_W(conductor, 50.0, 10.0, temperature_C=70) == pytest.approx(30.54, rel=1e-6)


def test_a_current_the_other_way_drops_as_much_and_heats_as_much() -> None:
    there, back = (voltage_drop_V(Conductor(), 20.0, I) for I in (8.0, -8.0))
    assert there == -back
    assert cable_loss_W(Conductor(), 20.0, 8.0) == cable_loss_W(Conductor(), 20.0, -8.0)


def test_a_cable_without_length_has_no_resistance() -> None:
    assert cable_resistance_ohm(Conductor(), 0.0) == 0.0


@pytest.mark.parametrize(
    ("refused", "named"),
    [
        (lambda: Conductor(section_mm2=5.0), "2.5, 4, 6, 10"),
        (lambda: Conductor(section_mm2=True), "section_mm2"),
        (lambda: Conductor(tinned=1), "tinned"),
        (lambda: cable_resistance_ohm(Conductor(), -1.0), "length_m"),
        (lambda: cable_resistance_ohm(Conductor(), float("nan")), "length_m"),
        (lambda: cable_resistance_ohm(Conductor(), 1.0, temperature_C=400.0), "temperature_C"),
        (lambda: voltage_drop_V(Conductor(), 1.0, float("inf")), "current_A"),
        (lambda: cable_loss_W(Conductor(), 1.0, "10"), "current_A"),
    ],
)
def test_what_cannot_be_is_refused_by_name(refused, named) -> None:
    with pytest.raises(CablingError, match=named):
        refused()

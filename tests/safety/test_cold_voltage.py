"""Cold open-circuit voltage: worked by hand, by the coefficient and by the table of the standard."""

from __future__ import annotations

import pytest

from pvsim.array.change import add_fault, paint, set_light, set_string_length, set_weather
from pvsim.array.fault import Fault
from pvsim.array.place import Place, parse_place
from pvsim.errors import ScenarioError
from pvsim.files import read_demo
from pvsim.safety import Ratings, cold_factor, cold_voltages
from pvsim.safety.standard_light import string_curves


@pytest.mark.parametrize(
    ("lowest_C", "factor"),
    # IEC 62548, voltage correction factors for crystalline silicon (from memory)
    [(25, 1.0), (22, 1.02), (20, 1.02), (19.5, 1.04), (0, 1.10), (-5, 1.12), (-6, 1.14), (-10, 1.14),
     (-15, 1.16), (-16, 1.18), (-25, 1.20), (-30, 1.21), (-36, 1.25), (-40, 1.25)],
)  # fmt: skip
def test_the_factor_is_that_of_the_standards_table(lowest_C: float, factor: float) -> None:
    assert cold_factor(lowest_C) == factor


def test_the_model_follows_the_coefficient_of_its_modules() -> None:
    """Voc (1 + beta (T - 25)); of crystalline silicon -0.25 to -0.36 %/K stand on labels (from memory)."""
    roof = read_demo("workshop")
    at = {T: string_curves(roof, T)[0].voc_V for T in (20.0, 25.0, 30.0)}
    beta_per_K = (at[30.0] - at[20.0]) / 10.0 / at[25.0]
    assert -0.0036 < beta_per_K < -0.0025
    for lowest_C in (0.0, -15.0, -30.0):
        (first, _second) = cold_voltages(roof, Ratings(lowest_C=lowest_C))
        assert first.cold_V == pytest.approx(at[25.0] * (1 + beta_per_K * (lowest_C - 25.0)), rel=0.01)
        assert first.cold_V < first.table_V == pytest.approx(cold_factor(lowest_C) * at[25.0])


def test_a_string_within_the_limit_passes_it_with_one_module_more() -> None:
    roof, ratings = read_demo("workshop"), Ratings(lowest_C=-15.0, system_voltage_V=1000.0)
    a_module_V = cold_voltages(roof, ratings)[0].standard_V / 8
    by_hand = int(1000.0 // (1.16 * a_module_V))
    assert by_hand == 20  # 41.1 V: 20 x 47.7 V = 954 V, 21 x 47.7 V = 1001 V
    assert cold_voltages(roof, ratings)[0].most_modules == by_hand
    for count, over in ((by_hand, False), (by_hand + 1, True)):
        first, second = cold_voltages(set_string_length(roof, count, Place(1)), ratings)
        assert (first.modules, first.over) == (count, over)
        assert not second.over


def test_shade_dirt_faults_and_the_days_weather_do_not_make_a_string_safer() -> None:
    roof, ratings = read_demo("workshop"), Ratings()
    now = paint(set_light(roof, irradiance_W_m2=200.0), [parse_place("1/1")], 0.1)
    now = add_fault(set_weather(now, cell_temperature_C=70.0), Fault("cell-short", parse_place("1/2/3")))
    assert [one.cold_V for one in cold_voltages(now, ratings)] == pytest.approx(
        [one.cold_V for one in cold_voltages(roof, ratings)]
    )
    longer = add_fault(roof, Fault("modules-too-many", Place(1), 2))
    assert cold_voltages(longer, ratings)[0].modules == 10, "as built, not as planned"


@pytest.mark.parametrize("lowest_C", [-41.0, 26.0])
def test_a_temperature_that_no_table_has_is_refused(lowest_C: float) -> None:
    with pytest.raises(ScenarioError):
        cold_factor(lowest_C)
    with pytest.raises(ScenarioError, match="lowest_C"):
        Ratings(lowest_C=lowest_C)

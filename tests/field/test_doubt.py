"""What is not known beside the meter: by hand, and its slopes beside the circuit's own."""

from __future__ import annotations

from math import hypot, sqrt

import pytest

from pvsim.array import Place, set_light, set_weather, solve_array
from pvsim.field import Doubt, Probe, budget_of, prediction_uncertainty, true_value
from pvsim.field.doubt import FOLLOWS, apart
from pvsim.field.kit import BACK_SENSOR, IRRADIANCE_SENSOR
from pvsim.files import read_demo

ROOF = read_demo("workshop")
SOUND = solve_array(ROOF)
LIGHT = budget_of(IRRADIANCE_SENSOR, 1000.0).combined / 1000.0
WARMTH_K = budget_of(BACK_SENSOR, 25.0).combined


@pytest.mark.parametrize(
    ("what", "by_light", "per_K"),
    [("open-voltage", 0.05, 0.003), ("current", 1.0, 0.0006), ("power", 1.0, 0.0045)],
)
def test_a_prediction_is_as_sure_as_light_warmth_and_modules(
    what: str, by_light: float, per_K: float
) -> None:
    probe = Probe(what=what, place=Place(2))
    expected = true_value(SOUND, probe) * hypot(by_light * LIGHT, per_K * WARMTH_K, 0.03 / sqrt(3))
    assert prediction_uncertainty(SOUND, probe) == pytest.approx(expected)
    surer = prediction_uncertainty(SOUND, probe, doubt=Doubt(module_percent=0.0))
    assert surer == pytest.approx(true_value(SOUND, probe) * hypot(by_light * LIGHT, per_K * WARMTH_K))


@pytest.mark.parametrize("what", FOLLOWS)
def test_what_follows_light_and_warmth_does_so_in_the_circuit(what: str) -> None:
    """Solved again in a twentieth less light, and ten kelvin warmer; silicon of any make lies this near."""
    probe = Probe(what=what, place=Place(2))
    dimmer = solve_array(set_light(ROOF, irradiance_W_m2=950.0))
    warmer = solve_array(set_weather(ROOF, cell_temperature_C=35.0))
    right = true_value(SOUND, probe)
    by_light = (1.0 - true_value(dimmer, probe) / right) / 0.05
    per_K = abs(true_value(warmer, probe) / right - 1.0) / 10.0
    assert by_light == pytest.approx(FOLLOWS[what][0], abs=0.07)
    assert per_K == pytest.approx(FOLLOWS[what][1], abs=0.0016)


def test_in_the_dark_there_is_nothing_to_reckon() -> None:
    dark = solve_array(set_light(ROOF, irradiance_W_m2=0.0))
    assert prediction_uncertainty(dark, Probe(what="current", place=Place(2))) == 0.0


def test_light_warmth_and_insulation_have_doubts_of_their_own() -> None:
    doubt = Doubt(neighbour_percent=2.0, warmth_K=1.0, insulation_percent=40.0)
    probes = [Probe(what=what, place=Place(2)) for what in ("current", "back", "insulation")]
    assert [apart(one, 50.0, doubt) for one in probes] == [1.0, 1.0, 20.0]
    assert prediction_uncertainty(SOUND, probes[1], doubt=doubt) == 1.0
    insulation = true_value(SOUND, probes[2])
    assert prediction_uncertainty(SOUND, probes[2], doubt=doubt) == pytest.approx(0.4 * insulation)
    light = prediction_uncertainty(SOUND, Probe(what="irradiance"))
    assert light == pytest.approx(1000.0 * LIGHT)

"""A measured curve beside the model: the residual is what was planted."""

from __future__ import annotations

import numpy as np
import pytest

from pvsim.array import Place, add_fault, solve_array
from pvsim.array.fault import Fault
from pvsim.errors import FileError
from pvsim.reading import own_curve
from pvsim.traced.residual import lay_beside
from pvsim.traced.traced_curve import TracedCurve
from tests.traced.samples import BENCH, MODULE, curve_of_bench, traced


@pytest.fixture(scope="module")
def model():
    return own_curve(solve_array(BENCH), MODULE)


def test_the_models_own_curve_misses_nothing(model):
    found = lay_beside(traced(model), model)
    assert found.rms_of_isc < 1e-9
    assert found.measured.pmp_W == pytest.approx(found.modelled.pmp_W, rel=2e-3)


def test_noise_is_the_residual(model):
    found = [lay_beside(traced(model, seed, voltage=0.0), model).rms_of_isc for seed in range(30)]
    assert np.mean(found) == pytest.approx(0.005, rel=0.05)


def test_a_constant_offset_is_the_residual_at_every_voltage(model):
    plain = traced(model)
    found = lay_beside(TracedCurve(voltage_V=plain.voltage_V, current_A=plain.current_A - 0.1), model)
    np.testing.assert_allclose(found.residual_A, -0.1, atol=1e-12)
    assert found.rms_of_isc == pytest.approx(0.1 / model.isc_A, rel=1e-9)


def test_soiling_is_missing_current(model):
    dirty = curve_of_bench(("soiling", MODULE, 0.1))
    found = lay_beside(traced(dirty), model)
    assert found.measured.isc_A / found.modelled.isc_A == pytest.approx(0.9, abs=1e-3)
    assert found.residual_A.max() < 0.0


def test_voltages_beyond_the_model_are_left_out(model):
    V = np.linspace(-200.0, 200.0, 401)
    found = lay_beside(
        TracedCurve(voltage_V=V, current_A=np.interp(V, model.voltage_V, model.current_A)), model
    )
    assert found.voltage_V[0] >= model.voltage_V[0]
    assert found.voltage_V[-1] <= model.voltage_V[-1]


def test_curves_without_a_common_voltage_are_refused(model):
    far = TracedCurve(voltage_V=np.linspace(500.0, 600.0, 20), current_A=np.linspace(8.0, 0.0, 20))
    with pytest.raises(FileError, match="share no voltages"):
        lay_beside(far, model)


def test_a_model_in_the_dark_is_refused(model):
    dark = curve_of_bench(painted=[(MODULE, 0.0)])
    with pytest.raises(FileError, match="share no voltages"):
        lay_beside(traced(model), dark)
    broken = add_fault(BENCH, Fault("cell-open", Place(1, 1, 5)))
    assert lay_beside(traced(model), own_curve(solve_array(broken), MODULE)).rms_of_isc > 0.1

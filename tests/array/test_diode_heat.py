"""A diode's junction: power times thermal resistance, by the figures of a public data sheet."""

from __future__ import annotations

import numpy as np
import pytest

from pvsim.array.diode_heat import TO_CASE_K_W, TO_STILL_AIR_K_W, junction_rise_K


def test_a_diode_of_five_watts_is_as_warm_as_the_data_sheet_has_it() -> None:
    """10 A at 0.5 V: 35 K above its case, 200 K above still air (axial 45 V, 20 A, sheet of 2013)."""
    assert junction_rise_K(-5.0, TO_CASE_K_W) == pytest.approx(35.0)
    assert junction_rise_K(-5.0, TO_STILL_AIR_K_W) == pytest.approx(200.0)


def test_a_blocking_diode_is_not_warmed_and_none_is_cooled() -> None:
    assert np.array_equal(junction_rise_K([0.0, 1e-3, -1.0], 10.0), [0.0, 0.0, 10.0])

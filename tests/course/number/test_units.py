"""Units as people type them."""

from __future__ import annotations

import pytest

from pvsim.course.number.units import UNITS, unit_meant
from pvsim.course.play.answers import read_number
from pvsim.errors import LessonError


@pytest.mark.parametrize(
    ("typed", "kind", "size"),
    [
        pytest.param("mA", "A", 1e-3, id="milli"),
        pytest.param("µA", "A", 1e-6, id="micro-sign"),
        pytest.param("μA", "A", 1e-6, id="greek-letter"),
        pytest.param("uA", "A", 1e-6, id="u"),
        pytest.param("kV", "V", 1e3, id="kilo"),
        pytest.param("MW", "W", 1e6, id="mega"),
        pytest.param("mW", "W", 1e-3, id="capitals-count"),
        pytest.param("kΩ", "ohm", 1e3, id="kilo-ohm"),
        pytest.param("Mohm", "ohm", 1e6, id="mega-ohm-in-letters"),
        pytest.param("Wh", "kWh", 3600.0, id="watt-hour"),
        pytest.param("MWh", "kWh", 3.6e9, id="megawatt-hour"),
        pytest.param("Volt", "V", 1.0, id="word"),
        pytest.param("A.", "A", 1.0, id="full-stop"),
        pytest.param("m", "m", 1.0, id="metre-and-no-prefix"),
        pytest.param("m²", "m2", 1.0, id="as-it-is-shown"),
        pytest.param("cm^2", "cm2", 1e-4, id="as-keyboards-have-it"),
    ],
)
def test_prefixes_of_the_si_are_understood(typed, kind, size):
    # Sizes of prefixes: SI brochure, 9th edition, table 7.
    unit = unit_meant(typed)
    assert unit is not None
    assert unit.dimension == UNITS[kind].dimension
    assert unit.size == pytest.approx(size, rel=1e-12)


@pytest.mark.parametrize("typed", ["", "k", "kk", "mm", "kA/m", "xV", "kVolt", "mkA", "%A", "V" * 50])
def test_what_is_no_unit_is_none(typed):
    assert unit_meant(typed) is None


def test_a_number_is_converted_and_another_kind_is_refused():
    assert read_number("0,9 kA", UNITS["A"]) == pytest.approx(900.0)
    assert read_number("250 uV", UNITS["mV"]) == pytest.approx(0.25)
    with pytest.raises(LessonError, match="not the unit asked for"):
        read_number("3 kA", UNITS["V"])

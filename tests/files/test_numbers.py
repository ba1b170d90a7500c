"""Numbers as short text."""

from __future__ import annotations

import pytest

from pvsim.files.numbers import number


@pytest.mark.parametrize(
    ("value", "text"),
    [(0.0, "0"), (312.44, "312.4"), (9.99999, "10.000"), (12345.6, "12350"), (-0.001234, "-0.001234")],
)
def test_numbers_have_four_digits(value, text):
    assert number(value) == text


def test_very_large_and_very_small_numbers_take_a_power_of_ten():
    assert number(1.23456e12) == "1.235e+12"
    assert number(-1.23456e-7, digits=3) == "-1.23e-07"

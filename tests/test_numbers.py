"""Numbers as people write them."""

from __future__ import annotations

import pytest

from pvsim.numbers import decimals_for


@pytest.mark.parametrize(
    ("scale", "decimals"), [(0.6, 3), (9.1, 3), (38.0, 2), (326.0, 1), (5440.0, 1), (0.0, 1)]
)
def test_numbers_keep_about_four_figures(scale: float, decimals: int) -> None:
    assert decimals_for(scale) == decimals

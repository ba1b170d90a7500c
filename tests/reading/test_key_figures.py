"""The key figures of a curve, now and before."""

from __future__ import annotations

import pytest

from pvsim.circuit import Characteristic
from pvsim.reading import key_figures


def test_changes_are_the_key_figures_now_and_before(
    sound: Characteristic, shaded: Characteristic
) -> None:
    found = {one.key: one for one in key_figures(shaded, sound)}
    assert list(found) == ["isc", "voc", "imp", "vmp", "pmp", "ff"]
    assert found["pmp"].now == shaded.mpp.power_W
    assert found["pmp"].before == sound.mpp.power_W
    assert found["ff"].now == pytest.approx(
        found["imp"].now * found["vmp"].now / (found["isc"].now * found["voc"].now),
        rel=1e-12,  # the definition of the fill factor
    )


def test_without_an_earlier_curve_there_is_nothing_before(sound: Characteristic) -> None:
    assert all(one.before is None for one in key_figures(sound, None))

"""The drawing of a measured curve over its model: nothing lies on anything else, nothing is left out."""

from __future__ import annotations

from functools import cache

import pytest

from pvsim.app.traced.picture import draw_overlay, overlay_panels
from pvsim.array import Place
from pvsim.files import read_demo
from pvsim.files.figure.drawing import Dot, Text
from pvsim.traced import decode, propose, read_traced
from pvsim.traced.overlay import Overlay, lay_over
from pvsim.traced.own import invented_bytes
from pvsim.words import speaking
from tests.files.figure.letters import faults, short_leaders

MODULE = Place(1, 4)


@cache
def overlay(procedure: str = "second", place: Place = MODULE) -> Overlay:
    text = decode(invented_bytes())
    curve = read_traced(text, propose(text).mapping)
    return lay_over(
        curve, read_demo("workshop"), place, procedure=procedure, irradiance_W_m2=1000.0, temperature_C=25.0
    )


@pytest.mark.parametrize("language", ["en", "de", "qps"])
@pytest.mark.parametrize(("width", "scale"), [(320.0, 1.0), (360.0, 1.4), (690.0, 1.0), (1000.0, 1.9)])
def test_nothing_written_lies_on_anything_else(language: str, width: float, scale: float) -> None:
    with speaking(language):
        for procedure, place in (("second", MODULE), ("none", MODULE), ("none", Place())):
            drawing = draw_overlay(overlay(procedure, place), width_px=width, type_scale=scale)
            assert faults(drawing) == []
            assert short_leaders(drawing) == []


@pytest.mark.parametrize("width", [0.0, -5.0, 1e9, float("inf")])
def test_a_width_that_no_screen_has_is_bounded(width: float) -> None:
    assert 280.0 <= draw_overlay(overlay(), width_px=width).width <= 1100.0


def test_residuals_have_an_axis_of_their_own_with_zero_in_sight() -> None:
    curves, missed = overlay_panels(overlay())
    assert missed.across is curves.across
    assert missed.up.least < -4.0 < 0.0 < missed.up.most < 2.0  # a step of some 4.6 A, and nothing above
    assert curves.up.most > 10.9


def test_both_greatest_powers_are_written_and_measured_points_drawn() -> None:
    drawing = draw_overlay(overlay(), width_px=690.0)
    bold = [one.text.replace("\u00a0", " ") for one in drawing.marks if isinstance(one, Text) and one.bold]
    assert sorted(bold) == ["measured 236.3 W", "model 353.1 W"]
    roles = {one.role for one in drawing.marks if isinstance(one, Dot)}
    assert roles == {"more-1", "before", "current"}
    plain = draw_overlay(overlay("none"), width_px=690.0)
    assert "before" not in {one.role for one in plain.marks if isinstance(one, Dot)}

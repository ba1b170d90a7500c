"""The axes of the live figures: numbers from one place, moved only where the range moves."""

from __future__ import annotations

import pytest

from pvsim.app.curves.figures import make_difference, make_figures, set_axes
from pvsim.app.curves.scale import set_scale
from pvsim.files.figure.axis import make_axis
from pvsim.reading.axes import Axes
from pvsim.words import speaking

AXES = Axes(voltage_V=(-0.03, 0.72), current_A=(-0.8, 12.2), power_W=(-45.0, 310.0))


def test_axes_of_one_quantity_have_the_same_range_and_numbers() -> None:
    figures = make_figures()
    set_axes(figures, AXES)
    difference = make_difference(figures)  # made later, when it is first looked at
    set_scale(difference.delta, (-1.5, 1.5))
    across = [plot.below[0] for plot in (figures.current, figures.power, difference.plot)]
    assert all(axis.major_label_overrides == across[0].major_label_overrides for axis in across)
    assert {axis.ticker.id for axis in across} == {figures.voltage.ticker.id}
    assert figures.power.left[0].ticker is figures.power.right[0].ticker is figures.watts.ticker
    assert figures.power.right[0].major_label_overrides == figures.power.left[0].major_label_overrides
    ladder = make_axis(AXES.current_A, counts=(4, 3, 2)).ladder
    assert figures.current.left[0].ticker.tags == [[tick.value for tick in ticks] for ticks in ladder]
    assert difference.plot.left[0].major_label_overrides[-1.0] == "−1"


@pytest.mark.parametrize(("language", "number"), [("en", "0.2"), ("de", "0,2")])
def test_numbers_of_an_axis_are_written_as_the_language_does(language: str, number: str) -> None:
    figures = make_figures()
    with speaking(language):
        set_axes(figures, AXES)
    assert figures.current.below[0].major_label_overrides[0.2] == number


def test_an_axis_that_stays_is_not_sent_again() -> None:
    figures = make_figures()
    set_axes(figures, AXES)
    heard: list[str] = []
    for scale in (figures.voltage, figures.amperes):
        scale.ticker.on_change("tags", lambda attr, old, new: heard.append("values"))
        for axis in scale.axes:
            axis.on_change("major_label_overrides", lambda attr, old, new: heard.append("numbers"))
    set_axes(figures, AXES)
    assert heard == []
    set_scale(figures.amperes, (-0.8, 24.0))
    assert heard == ["numbers", "values"]

"""Cells and modules that differ, set in the panel of the array."""

from __future__ import annotations

import base64

import numpy as np
import pytest

from pvsim.app.roof.cells_payload import SHADED, cells_payload
from pvsim.app.session.state import State
from pvsim.app.shell.bar_values import bar_values
from pvsim.app.shell.scatter_fields import FIELDS, SCATTER_NUMBERS
from pvsim.app.shell.top_bar import TopBarView
from pvsim.array.scatter import USUAL_SCATTER
from tests.app.wishes import say


def test_cells_are_equal_until_somebody_lets_them_differ(state: State, bar: TopBarView) -> None:
    values = bar_values(state)
    assert values["fields"]["scatter"] == "no"
    assert set(FIELDS) <= set(values["hidden"])
    before_W = state.solution.power_W
    say(bar.root, "scatter", "yes")
    assert state.scenario.scatter == USUAL_SCATTER
    assert not set(FIELDS) & set(bar_values(state)["hidden"])
    assert state.solution.power_W != before_W
    assert np.ptp(state.solution.cells.power_W) > 0.05
    say(bar.root, "scatter", "no")
    assert state.solution.power_W == before_W
    state.undo()
    assert state.scenario.scatter == USUAL_SCATTER


def test_each_width_and_the_number_are_typed(state: State, bar: TopBarView) -> None:
    say(bar.root, "scatter", "yes")
    for name, (field, _label, unit, most, _step) in SCATTER_NUMBERS.items():
        say(bar.root, name, f"{most / 2} {unit}")
        assert getattr(state.scenario.scatter, field) == most / 2
    say(bar.root, "scatter_seed", "4711")
    assert state.scenario.scatter is not None
    assert state.scenario.scatter.seed == 4711
    assert bar_values(state)["fields"]["scatter_seed"] == "4711"


@pytest.mark.parametrize(
    ("name", "wrong"),
    [("scatter_seed", "1.5"), ("scatter_seed", "-1"), ("scatter_shunt", "999"), ("scatter_light", "much")],
)
def test_what_a_scatter_cannot_be_is_told_at_its_field(
    state: State, bar: TopBarView, name: str, wrong: str
) -> None:
    say(bar.root, "scatter", "yes")
    before = state.scenario
    say(bar.root, name, wrong)
    assert set(bar.root.wrong) == {name}
    assert state.scenario == before


def test_a_module_that_gets_a_little_less_light_is_not_drawn_as_shaded(state: State, bar: TopBarView) -> None:
    def shaded() -> int:
        index = state.solution.index
        everything = [slice(0, int(index.cell_start[-1]))]
        sent = cells_payload(
            state.scenario, state.solution, index, state.solution.cells.irradiance_W_m2, everything
        )
        flags = np.frombuffer(base64.b64decode(sent["flags"]), dtype=np.uint8)
        return int(((flags & SHADED) > 0).sum())

    say(bar.root, "scatter", "yes")
    assert (state.solution.cells.irradiance_W_m2 < 0.995 * 1000.0).any()
    assert shaded() == 0
    state.paint([state.focus], 0.5)
    assert shaded() > 0

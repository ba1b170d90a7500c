"""A small array, and the state of a session that has it."""

from __future__ import annotations

import pytest

from pvsim.app.session.state import State
from pvsim.array.array import Array, Module, String
from pvsim.array.scenario import Scenario


@pytest.fixture
def scenario() -> Scenario:
    """One string of three modules of 60 cells."""
    return Scenario(title="A shed", array=Array(strings=(String(modules=(Module("full-60"),) * 3),)))


@pytest.fixture
def state(scenario: Scenario) -> State:
    return State(scenario)

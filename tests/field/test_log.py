"""A log keeps what was noted, in the order of time."""

from __future__ import annotations

from dataclasses import FrozenInstanceError

import pytest

from pvsim.array import Place
from pvsim.errors import ScenarioError
from pvsim.field import Log, LogEntry, Probe, Reading, noted

PROBE = Probe(what="current", place=Place(2))
AMPERES = Reading(value=9.87, unit="A", standard_uncertainty=0.1, range_most=40.0)
LIGHT = Reading(value=812.0, unit="W/m2", standard_uncertainty=24.0, range_most=1500.0)
WARMTH = Reading(value=44.1, unit="°C", standard_uncertainty=1.2, range_most=200.0)


def entry(time_min: float, **more: object) -> LogEntry:
    return LogEntry(**{"time_min": time_min, "probe": PROBE, "reading": AMPERES, **more})


def test_a_line_is_added_and_the_log_before_stays() -> None:
    empty = Log()
    one = noted(empty, entry(1.0, irradiance=LIGHT, temperature=WARMTH, remark="clear"))
    two = noted(one, entry(1.0))
    assert [len(log.entries) for log in (empty, one, two)] == [0, 1, 2]
    assert two.entries[0] is one.entries[0]
    assert one.entries[0].irradiance == LIGHT
    with pytest.raises(FrozenInstanceError):
        one.entries = ()


def test_time_does_not_run_backwards() -> None:
    log = noted(Log(), entry(5.0))
    with pytest.raises(ScenarioError, match="minute 4 follows one of minute 5"):
        noted(log, entry(4.0))
    with pytest.raises(ScenarioError, match="follows"):
        Log(entries=(entry(2.0), entry(1.0)))


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ({"time_min": -1.0}, "time_min of the log entry is -1"),
        ({"probe": "clamp"}, "a Probe"),
        ({"reading": LIGHT}, "a Reading in A"),
        ({"reading": 9.87}, "a Reading in A"),
        ({"irradiance": WARMTH}, "a Reading in W/m2"),
        ({"temperature": LIGHT}, "a Reading in °C"),
        ({"remark": 3}, "remark of the log entry"),
    ],
)
def test_what_can_be_no_line_is_refused(more: dict[str, object], said: str) -> None:
    with pytest.raises(ScenarioError, match=said):
        entry(**{"time_min": 1.0, **more})


def test_a_log_holds_lines_alone() -> None:
    with pytest.raises(ScenarioError, match="entries of the log"):
        Log(entries=(AMPERES,))

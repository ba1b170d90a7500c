"""Each check of the fixed table holds when it should and does not when it should not."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from pvsim.array import Fault, Scenario, add_fault, paint, parse_place, set_light, set_operation, set_weather
from pvsim.course.number.checks import CHECKS, SEARCH_ANSWERED, check_holds, read_checks
from pvsim.course.number.solved_scenario import solved
from pvsim.course.table import Report, Table
from tests.course.number.test_roof_checks import CASES as ROOF_CASES
from tests.course.samples import find

Make = Callable[[Scenario], Scenario]
SHADE: Make = lambda s: paint(s, [parse_place("1/1/14")], 0.2)  # noqa: E731
OPEN: Make = lambda s: add_fault(s, Fault("diode-open", parse_place("1/1/d1")))  # noqa: E731


def same(scenario: Scenario) -> Scenario:
    return scenario


def at_voltage(scenario: Scenario) -> Scenario:
    return set_operation(scenario, "voltage", 20.0)


def warm(scenario: Scenario) -> Scenario:
    return set_weather(scenario, cell_temperature_C=50.0)


def dim(scenario: Scenario) -> Scenario:
    return set_light(scenario, irradiance_W_m2=400.0)


def other_open(scenario: Scenario) -> Scenario:
    return add_fault(scenario, Fault("diode-open", parse_place("1/1/d2")))


CASES = [
    ("shaded", {"place": "1/1", "at_most": 0.25}, SHADE, same),
    ("shaded", {"place": "1/1/s1", "at_most": 0.2, "least": 1, "most": 1}, SHADE, same),
    ("shaded", {"least": 1, "most": 59}, SHADE, lambda s: paint(s, [parse_place("array")], 0.2)),
    ("lit", {"place": "1/1/s2"}, SHADE, lambda s: paint(s, [parse_place("1/1/30")], 0.2)),
    ("fault", {"kind": "diode-open"}, OPEN, same),
    ("fault", {"place": "1/1/s1", "kind": "diode-open"}, OPEN, same),
    ("fault", {"place": "1/1/d1", "kind": "diode-open"}, OPEN, SHADE),
    ("no_fault", {"place": "1/1"}, same, OPEN),
    ("no_fault", {"place": "1/1/s2"}, OPEN, other_open),
    ("diodes_conducting", {"place": "1/1"}, SHADE, same),
    ("diodes_conducting", {"place": "1/1", "least": 0, "most": 0}, same, SHADE),
    ("irradiance", {"irradiance_W_m2": 400}, dim, same),
    ("cell_temperature", {"temperature_C": 51}, warm, same),
    ("operating", {"kind": "voltage", "least": 15, "most": 25}, at_voltage, same),
    ("operating", {"kind": "mpp"}, same, at_voltage),
    ("holds", {"that": "now[weakest].power_W < -10 and now[1/1].mpps = 2"}, SHADE, same),
]  # fmt: skip


def read(kind: str, arguments: dict[str, object]) -> tuple[object, Report]:
    report = Report(file="trial.md")
    table = Table({"done_when": {kind: arguments}}, (), report)
    found = read_checks(table, "done_when")
    return (found[0] if found else None), report


@pytest.mark.parametrize(("kind", "arguments", "so", "not_so"), CASES)
def test_a_check_tells_the_two_apart(kind: str, arguments: dict[str, object], so: Make, not_so: Make) -> None:
    check, report = read(kind, arguments)
    assert check is not None, report.problems
    assert not report.problems
    bench = find("single-module")
    yes, no = solved(so(bench)), solved(not_so(bench))
    assert check_holds(check, yes.scenario, yes.solution)
    assert not check_holds(check, no.scenario, no.solution)


def test_every_check_of_the_table_is_tried() -> None:
    # A search is of its step: tests/course/lesson/test_step_search.py has it.
    assert {case[0] for case in (*CASES, *ROOF_CASES)} == set(CHECKS) - {SEARCH_ANSWERED}


@pytest.mark.parametrize(
    ("kind", "arguments", "said"),
    [
        ("shaded", {"place": "1/1", "below": 0.2}, "'below'"),
        ("shaded", {"place": "roof"}, "roof"),
        ("fault", {"place": "1/1"}, "'kind'"),
        ("irradiance", {}, "'irradiance_W_m2'"),
        ("irradiance", {"irradiance_W_m2": "bright"}, "bright"),
        ("holds", {"that": "delta[array].power_W < 0"}, "earlier"),
        ("holds", {"that": "now[array].power_W < now[array].voc_V"}, "compared"),
        ("is_pretty", {}, "'is_pretty'"),
    ],
)
def test_arguments_that_are_not_declared_are_refused(
    kind: str, arguments: dict[str, object], said: str
) -> None:
    _, report = read(kind, arguments)
    assert any(said in problem.wrong for problem in report.problems)

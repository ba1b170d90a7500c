"""Checks of a mounted array: when they hold, when not, and what is said then."""

from __future__ import annotations

from types import SimpleNamespace

import pytest

from pvsim.array.scenario import Scenario
from pvsim.course.lesson.changes import apply_all, read_changes
from pvsim.course.number.checks import Check, check_holds, read_checks
from pvsim.course.number.solved_scenario import solved
from pvsim.course.play.lacking import lacking
from pvsim.course.table import Report, Table
from pvsim.words import speaking
from tests.course.samples import find

LEAPFROG = {"wire": "leapfrog"}
ROW_1 = {"turn": ["A/1/1-8"]}
POLE = {"stand": "pole", "x_m": 9, "y_m": -9, "radius_m": 0.1, "height_m": 3}
NONE = {"clear": "solids"}
APART = {"draw": ["A/1/1", "A/1/8"], "string": 1}  # leaves six modules in no string

# check, scenario, changes with which it holds, changes with which it does not, and what is said then
CASES = [
    ("wired", {"like": "leapfrog", "strings": 5}, "rope-walk", [LEAPFROG], [ROW_1], "back they take 28.9 m"),
    ("wired", {"like": "leapfrog", "strings": 5}, "rope-walk", [LEAPFROG], [APART], "6 modules are in no"),
    ("wired", {"like": "leapfrog", "strings": 4}, "rope-walk",
     [{"wire": "leapfrog", "strings": 4}], [LEAPFROG], "are 5 strings; the step wants 4"),
    ("wired", {"like": "row by row", "strings": 5}, "rope-walk", [], [LEAPFROG],
     "30 leads need an extension"),
    ("wired", {"like": "row by row", "strings": 5}, "rope-walk", [], [{"wire": "blocks 2 x 4"}],
     "larger loop"),
    ("cable", {"most_m": 40}, "rope-walk", [LEAPFROG], [ROW_1], "at most 40.0 m"),
    ("cable", {"least_m": 40, "most_m": 70}, "rope-walk", [ROW_1], [LEAPFROG], "at least 40.0 m"),
    ("turned", {"spots": ["A/1/1-8"]}, "rope-walk", [ROW_1], [{"turn": ["A/1/1-7"]}], "A/1/8 is not turned"),
    ("turned", {"spots": ["A/1/1-8"]}, "rope-walk", [ROW_1], [{"turn": ["A/1/1-8", "A/2/2"]}],
     "A/2/2 is turned too"),
    ("stands", {"least": 0, "most": 0}, "nursery", [NONE], [POLE],
     "2 things throw shadows; the step wants 0"),
    ("stands", {"thing": "pole", "least": 1, "most": 1, "highest_m": 4}, "nursery", [NONE, POLE],
     [{"day": {"date": "2026-01-02"}}], "is 8.0 m high; the step wants at most 4.0 m"),
    ("stands", {"thing": "pole", "least": 1, "most": 1, "lowest_m": 4}, "nursery",
     [{"day": {"date": "2026-01-02"}}], [NONE, POLE], "is 3.0 m high; the step wants at least 4.0 m"),
    ("dated", {"date": "2026-12-21"}, "nursery",
     [{"day": {"date": "2030-12-21"}}], [NONE], "The day is 2026-06-21; the step wants 2026-12-21"),
]  # fmt: skip


def check_of(kind: str, arguments: dict) -> Check:
    report = Report(file="trial.md")
    (found,) = read_checks(Table({"done_when": {kind: arguments}}, (), report), "done_when")
    assert not report.problems
    return found


def changed(scenario: Scenario, *changes: dict) -> Scenario:
    report = Report(file="trial.md")
    found = read_changes(Table({"start": list(changes)}, (), report), "start")
    assert not report.problems
    return apply_all(scenario, found)


@pytest.mark.parametrize(("kind", "arguments", "name", "so", "not_so", "said"), CASES)
def test_a_check_tells_two_roofs_apart_and_says_what_is_lacking(
    kind: str, arguments: dict, name: str, so: list, not_so: list, said: str
) -> None:
    check = check_of(kind, arguments)
    start = find(name)
    yes, no = solved(changed(start, *so)), solved(changed(start, *not_so))
    assert check_holds(check, yes.scenario, yes.solution)
    assert not check_holds(check, no.scenario, no.solution)
    before = changed(start, {"box": {"x_m": -2, "y_m": 0}})
    step = SimpleNamespace(start=before, finish=yes.scenario, done_when=(check,))
    with speaking("en"):
        assert said in lacking(step, no).replace("\u202f", " ")
    with speaking("de"):
        assert lacking(step, no) not in ("", said)


def test_what_was_built_otherwise_is_another_array_and_nothing_is_said_of_it() -> None:
    check = check_of("wired", {"like": "leapfrog", "strings": 5})
    start = find("rope-walk")
    step = SimpleNamespace(start=start, finish=changed(start, LEAPFROG), done_when=(check,))
    assert lacking(step, solved(find("nursery"))) == ""

"""Transcripts: what meters show of the plant as it stands, minutes, and how an answer is judged."""

from __future__ import annotations

from dataclasses import replace

import pytest

from pvsim.array import Fault, Place
from pvsim.errors import ScenarioError
from pvsim.field.search import Act, Answer, Line, Transcript, do, judged, plant_after, search_case
from pvsim.field.search.safety import REFUSALS

BASE = search_case(11, 3)
LENGTH = len(BASE.sound.array.strings[0].modules)
OUT = (
    Act(kind="stop"),
    Act(kind="open-switch"),
    Act(kind="prove-zero"),
    Act(kind="separate", place=Place(2)),
)


def with_fault(kind: str, place: Place, size: float | None = None):
    return replace(BASE, faults=(Fault(kind, place, size),))


def values(case, *acts: Act) -> list[list[float]]:
    transcript = Transcript()
    for act in acts:
        outcome = do(case, transcript, act)
        assert outcome.refusal is None
        transcript = outcome.transcript
    return [[one.reading.value for one in line.found] for line in transcript.lines]


def run(first: int, last: int, string: int = 2) -> Act:
    return Act(kind="read-run", place=Place(string, first), last=last)


def test_runs_of_modules_add_up_to_their_string() -> None:
    for fault in (("connector-resistive", Place(2, 3), 1.0), ("module-reversed", Place(2, 2), None)):
        case = with_fault(*fault)
        whole, left, right = (one[0] for one in values(case, run(1, LENGTH), run(1, 2), run(3, LENGTH)))
        # Kirchhoff; three readings, each within its meter's 0.5 % and two digits of 0.1 V.
        assert left + right == pytest.approx(whole, abs=0.005 * (abs(left) + abs(right) + whole) + 0.6)


def test_covering_the_substring_that_is_bypassed_changes_nothing() -> None:
    case = with_fault("cell-open", Place(2, 3, cell=2))  # of the first substring
    look = run(3, 3)

    def covered(substring: int) -> tuple[float, float]:
        cover = Act(kind="cover", place=Place(2, 3, substring=substring))
        before, _none, after = values(case, look, cover, look)
        return before[0], after[0]

    before, after = covered(1)
    assert after == pytest.approx(before, abs=0.1)
    before, after = covered(2)
    assert after < before / 2


def test_an_open_diode_is_found_by_a_cloth_alone() -> None:
    sound, broken = (
        with_fault("diode-open", Place(1, 1, diode=1)),
        with_fault("diode-open", Place(2, 3, diode=1)),
    )
    look, cover = (
        Act(kind="read", what="current", place=Place(2)),
        Act(kind="cover", place=Place(2, 3, substring=1)),
    )
    there, beside = values(broken, look, cover, look), values(sound, look, cover, look)
    assert there[0] == beside[0]
    # Where a diode is, the current goes round the dark cells; where none is, their junctions stop it.
    assert there[2][0] < 0.5 * beside[2][0]


def test_behind_the_open_switch_no_current_is_proven_and_parts_can_be_taken_out() -> None:
    case = with_fault("soiling", Place(2, 2), 0.2)
    trace = [Act(kind="trace", place=Place(2, number)) for number in (1, 2)]
    found = values(case, *OUT, *trace)
    assert len(found[2]) == 2
    assert max(map(abs, found[2])) < 0.3
    (clean_A, clean_V), (dirty_A, dirty_V) = found[4:]
    assert dirty_A == pytest.approx(0.8 * clean_A, rel=0.05)  # scatter and noise
    assert dirty_V == pytest.approx(clean_V, rel=0.03)


def test_a_separated_string_leaves_the_other_at_work() -> None:
    case = with_fault("soiling", Place(1, 2), 0.2)
    again = (Act(kind="close-switch"), Act(kind="start"))
    clamps = [Act(kind="read", what="current", place=Place(string)) for string in (1, 2)]
    found = values(case, *OUT, *again, *clamps)
    assert found[-2][0] > 3.0
    assert abs(found[-1][0]) < 0.3


def test_the_same_acts_read_the_same_and_lines_are_only_added() -> None:
    act = Act(kind="read", what="power")
    first = do(BASE, Transcript(), act).transcript
    second = do(BASE, first, act).transcript
    assert second.lines[0] == first.lines[0]
    assert do(BASE, Transcript(), act).transcript == first
    assert (first.minutes, second.minutes) == (1.0, 2.0)


def test_what_cannot_be_read_now_is_said() -> None:
    transcript = Transcript()
    for act in OUT[:2]:
        transcript = do(BASE, transcript, act).transcript
    for what, reason in (("power", "display-dark"), ("voltage", "strings-apart")):
        assert do(BASE, transcript, Act(kind="read", what=what)).refusal == REFUSALS[reason]
    assert not plant_after(transcript).switch_closed


def test_places_that_are_not_there_and_lines_out_of_time_are_refused() -> None:
    for act in (run(1, LENGTH + 1), Act(kind="cover", place=Place(9, 1))):
        with pytest.raises(ScenarioError):
            do(BASE, Transcript(), act)
    line = do(BASE, Transcript(), Act(kind="stop")).transcript.lines[0]
    with pytest.raises(ScenarioError):
        Transcript(lines=(line, line))
    assert isinstance(line, Line)


CELL = with_fault("cell-open", Place(2, 3, cell=2))


@pytest.mark.parametrize(
    ("case", "kind", "place", "right"),
    [
        (CELL, "cell-open", Place(2, 3, substring=1), (True, True, True, True, True)),
        (CELL, "cell-open", Place(2, 3, cell=7), (True, True, True, True, True)),
        (CELL, "cell-open", Place(2, 3, substring=2), (True, True, True, False, False)),
        (CELL, "cell-open", Place(2, 3), (True, True, True, False, False)),
        (CELL, "diode-short", Place(2, 3, diode=1), (False, True, True, True, False)),
        (CELL, "cell-open", Place(1, 3, substring=1), (True, False, False, False, False)),
        (with_fault("cable-open", Place(2)), "cable-open", Place(2), (True, True, None, None, True)),
    ],
)
def test_kind_and_place_are_judged_apart(
    case, kind: str, place: Place, right: tuple[bool | None, ...]
) -> None:
    found = judged(case, Answer(kind=kind, place=place, sure_percent=80.0))
    assert (found.kind, found.string, found.module, found.substring, found.solved) == right
    assert found.brier == pytest.approx(0.04 if right[-1] else 0.64)


def test_an_answer_has_a_kind_a_place_and_how_sure() -> None:
    for wrong in ({"kind": "magic"}, {"place": 3}, {"sure_percent": 101.0}):
        with pytest.raises(ScenarioError):
            Answer(**{"kind": "soiling", "place": Place(1, 1), "sure_percent": 50.0, **wrong})

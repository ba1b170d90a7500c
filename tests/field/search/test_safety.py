"""The safety order: what is out of order is refused with its hazard, and nothing changes."""

from __future__ import annotations

from itertools import product

import pytest

from pvsim.array import Place
from pvsim.errors import ScenarioError
from pvsim.field.search import (
    ACTS,
    AS_FOUND,
    REFUSALS,
    Act,
    Plant,
    Transcript,
    caution_of,
    do,
    minutes_of,
    plant_after,
    refusal_of,
    search_case,
)
from pvsim.field.search.safety import after

CASE = search_case(5, 3)  # two strings
SEPARATE = Act(kind="separate", place=Place(1))
ORDER = (Act(kind="stop"), Act(kind="open-switch"), Act(kind="prove-zero"), SEPARATE)
BACK = (Act(kind="join", place=Place(1)), Act(kind="close-switch"), Act(kind="start"))


def after_all(acts: tuple[Act, ...]) -> Transcript:
    transcript = Transcript()
    for act in acts:
        outcome = do(CASE, transcript, act)
        assert outcome.refusal is None, act
        transcript = outcome.transcript
    return transcript


def test_the_safe_order_and_back_again_is_allowed() -> None:
    assert plant_after(after_all(ORDER)).separated == (1,)
    transcript = after_all((*ORDER, *BACK))
    assert plant_after(transcript) == AS_FOUND
    assert transcript.minutes == sum(minutes_of(act) for act in (*ORDER, *BACK))


@pytest.mark.parametrize("left_out", range(3))
def test_no_step_of_the_order_can_be_left_out(left_out: int) -> None:
    transcript = Transcript()
    for act in (*ORDER[:left_out], *ORDER[left_out + 1 : 3]):
        transcript = do(CASE, transcript, act).transcript
    plant = plant_after(transcript)
    outcome = do(CASE, transcript, SEPARATE)
    assert outcome.refusal is not None
    assert outcome.refusal.unsafe
    assert plant_after(outcome.transcript) == plant
    assert outcome.transcript.minutes == transcript.minutes
    assert outcome.transcript.lines[:-1] == transcript.lines
    assert outcome.transcript.lines[-1].refused == outcome.refusal.reason


def test_a_refusal_is_one_sentence() -> None:
    for reason, refusal in REFUSALS.items():
        assert refusal.reason == reason
        assert refusal.sentence.count(".") == 1
        assert refusal.sentence.endswith(".")


def every_act() -> list[Act]:
    places = {
        "array": Place(),
        "string": Place(1),
        "module": Place(1, 2),
        "substring": Place(1, 2, substring=1),
    }
    acts = [
        Act(kind=kind, place=places[level], last=2 if kind == "read-run" else 0)
        for kind, (_minutes, levels) in ACTS.items()
        for level in levels
        if kind != "read" and level in places
    ]
    return acts + [
        Act(kind="read", what=what, place=Place(1))
        for what in ("power", "current", "open-voltage", "insulation")
    ]


def test_no_way_leads_to_a_connector_under_current() -> None:
    """Every plant within reach: whoever separates or joins does so behind an open switch."""
    seen, left = {AS_FOUND}, [AS_FOUND]
    while left:
        plant = left.pop()
        for act, zero in product(every_act(), (True, False)):
            if refusal_of(plant, act) is not None:
                continue
            then = after(plant, act, zero=zero)
            if act.kind in ("separate", "join"):
                assert not plant.running
                assert not plant.switch_closed
            if act.kind == "separate":
                assert plant.proven
            if act.kind == "trace" or act.what in ("open-voltage", "insulation"):
                assert 1 in plant.separated
            if then not in seen:
                seen.add(then)
                left.append(then)
    assert all(plant.switch_closed or not plant.running for plant in seen)
    assert len(seen) > 20


def test_current_that_still_flows_is_no_proof() -> None:
    stopped = Plant(running=False, switch_closed=False)
    assert not after(stopped, Act(kind="prove-zero"), zero=False).proven
    assert refusal_of(after(stopped, Act(kind="prove-zero"), zero=False), SEPARATE) == REFUSALS["not-proven"]


def test_a_cloth_under_load_has_its_caution_before() -> None:
    cover = Act(kind="cover", place=Place(1, 2))
    assert refusal_of(AS_FOUND, cover) is None
    assert caution_of(AS_FOUND, cover)
    assert caution_of(Plant(running=False), cover) == ""


@pytest.mark.parametrize(
    "wrong",
    [
        {"kind": "jump"},
        {"kind": "stop", "place": Place(1)},
        {"kind": "read", "what": "luck"},
        {"kind": "stop", "what": "power"},
        {"kind": "read-run", "place": Place(1, 3), "last": 2},
        {"kind": "cover", "place": Place(1, 1), "leak": 1.5},
        {"kind": "cover", "place": Place(1)},
        {"kind": "read", "what": "power", "place": Place(1), "last": 2},
    ],
)
def test_what_is_no_act_is_refused(wrong: dict[str, object]) -> None:
    with pytest.raises(ScenarioError):
        Act(**wrong)  # type: ignore[arg-type]

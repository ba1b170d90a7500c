"""Live, Rehearsal and Replay behind one interface: all answer every act, each does only what is its own."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

pytest.importorskip("panel", reason="the page needs the extra pvsim[page]")

from pvsim.app.lecture import view as the_view
from pvsim.app.lecture.bench import LectureBench
from pvsim.app.lecture.live import Live
from pvsim.app.lecture.performance import ACTS, Performance, Told
from pvsim.app.lecture.phones import Phones
from pvsim.app.lecture.rehearsal import Rehearsal
from pvsim.app.lecture.replay import Replay
from pvsim.app.lecture.words import lecture_keys
from pvsim.app.session.state import State
from pvsim.course.folder.course_reader import own_course
from pvsim.course.lecture.lecture import Part, compose
from pvsim.course.lecture.lecture_state import cue_of, standing_of
from pvsim.errors import LessonError
from pvsim.files.demo import read_demo

COURSE = own_course()
FIVE = next(one for one in COURSE.lessons if one.slug == "five-levels")
STEP = FIVE.steps[1]  # asks for a choice
WAYS = (Live, Rehearsal, Replay)


@pytest.fixture
def state() -> State:
    """A page whose lecture was held once, with three hands and without the act."""
    state = State(read_demo("workshop"))
    state.lecture = compose("Tuesday", [Part(lesson="five-levels", steps=(STEP.id,), minutes=10.0)], COURSE)
    held = begun(Live, state)
    held.next()
    held.hands("3 0 0 0")
    return state


def begun(way: type[Performance], state: State) -> Any:
    seconds = iter(range(0, 100_000, 60))
    phones = Phones(None, lambda: None)
    performance = way.of(state.lecture, LectureBench(state, COURSE), phones, lambda: float(next(seconds)))
    assert performance is not None
    performance.enter()
    return performance


@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize("act", ACTS)
@pytest.mark.parametrize("value", [None, "1 2 3 4", 1, True, {"choice": 1, "by": 1}, {"choice": "x"}])
def test_every_way_answers_every_act_and_stays_in_the_lecture(
    way: type[Performance], act: str, value: Any, state: State
) -> None:
    performance = begun(way, state)
    performance.next()
    performance.heed(act)
    try:
        assert isinstance(ACTS[act](performance, value), Told)
    except LessonError:
        assert act == "hands"
    assert cue_of(performance.podium) in state.lecture.cues


def test_each_key_of_a_lecture_is_an_act_or_the_browsers_own() -> None:
    assert {act for act, *_rest in lecture_keys()} - {*ACTS} == {"blank"}


def test_only_a_lecture_that_was_held_can_be_replayed(state: State) -> None:
    state.lecture = replace(state.lecture, played=())
    bench = LectureBench(state, COURSE)
    assert Replay.of(state.lecture, bench, Phones(None, lambda: None), float) is None


def test_a_replay_asks_nothing_locks_nothing_and_writes_nothing_down(state: State) -> None:
    replay, played = begun(Replay, state), state.lecture.played
    while not standing_of(replay.podium).rounds[-1].hands:
        replay.next()
    assert cue_of(replay.podium).moment == "ask"
    rounds = standing_of(replay.podium).rounds
    assert not state.locked
    for act in ("hands", "count", "again", "do", "class", "notes", "reveal"):
        ACTS[act](replay, {"choice": 0, "by": 1} if act == "count" else "9 9 9 9")
    assert standing_of(replay.podium).rounds == rounds
    assert standing_of(replay.podium).shown, "what was counted can be looked at"
    assert not state.locked
    assert state.kept_back == ()
    assert state.scenario == STEP.start
    assert state.lecture.played == played


def test_a_replay_stays_where_a_cue_was_never_shown(state: State) -> None:
    replay = begun(Replay, state)
    replay.next()
    before = replay.podium
    for at in (-1, len(state.lecture.cues) - 1, 999):
        replay.go(at)
        assert replay.podium == before


def test_a_rehearsal_has_answers_wherever_a_class_is_asked(state: State) -> None:
    rehearsal = begun(Rehearsal, state)
    rehearsal.next()
    assert sum(standing_of(rehearsal.podium).rounds[-1].phones) == 30
    rehearsal.again()
    assert sum(standing_of(rehearsal.podium).rounds[-1].phones) == 30
    live = begun(Live, state)
    live.next()
    assert standing_of(live.podium).rounds[-1].phones == ()


def test_nothing_that_draws_or_hears_asks_which_way_it_is() -> None:
    for path in Path(the_view.__file__).parent.glob("*.py"):
        if path.stem in ("kept", "live", "rehearsal", "replay"):
            continue
        asked = re.findall(r"\bmode\b *(?:[!=]=|in|not in)\b.*", path.read_text(encoding="utf-8"))
        assert not asked, path.name

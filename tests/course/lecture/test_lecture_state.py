"""Holding a lecture: nothing is given away before the class has answered, and nothing is lost."""

from __future__ import annotations

import pytest

from pvsim.array import paint, parse_place, set_operation
from pvsim.course.lecture.class_answers import Round
from pvsim.course.lecture.lecture import Part, compose, lecture_of
from pvsim.course.lecture.lecture_state import (
    Podium,
    ask_again,
    back,
    cue_of,
    forward,
    go_to,
    locked,
    mark_of,
    reveal,
    standing_of,
    take,
    waive,
    wanted,
    watch,
)
from pvsim.course.lesson.lesson import Course
from pvsim.course.number.solved_scenario import solved
from pvsim.course.play.answers import ChoiceAnswer
from tests.course.samples import lesson

COURSE = Course(title="Small", lessons=(lesson(),))
LESSON = COURSE.lessons[0]
STEP = LESSON.steps[0]
SOME = Round(hands=(5.0, 6.0))


def at(moment: str, page: int = 1) -> Podium:
    lecture = lecture_of(COURSE, LESSON.slug)
    place = next(k for k, cue in enumerate(lecture.cues) if (cue.page, cue.moment) == (page, moment))
    return Podium(lecture=lecture, at=place)


def on(podium: Podium, moment: str, page: int = 1) -> Podium:
    return go_to(podium, at(moment, page).at)


def test_the_array_is_locked_while_the_class_is_asked_and_until_it_has_answered() -> None:
    asked = at("ask")
    assert locked(asked, COURSE)
    assert locked(forward(asked), COURSE), "the act shows the outcome"
    answered = take(asked, SOME)
    assert locked(answered, COURSE), "a slip of the mouse must not show it while hands are up"
    assert not locked(forward(answered), COURSE)
    assert not locked(at("opening", 0), COURSE)


def test_a_lecturer_may_go_on_without_answers_and_a_part_may_do_so_from_the_start() -> None:
    assert not locked(forward(waive(at("ask"))), COURSE)
    part = Part(lesson=LESSON.slug, minutes=8.0, poll=False)
    unasked = Podium(lecture=compose("L", [part], COURSE), at=2)
    assert cue_of(unasked).moment == "act"
    assert not locked(unasked, COURSE)


def test_the_act_counts_only_after_the_answers() -> None:
    live = solved(STEP.finish)
    assert watch(at("act"), COURSE, live) == at("act")
    assert standing_of(watch(on(take(at("ask"), SOME), "act"), COURSE, live)).done == STEP.finish
    assert watch(on(take(at("ask"), SOME), "act"), COURSE, solved(STEP.start)) == on(
        take(at("ask"), SOME), "act"
    )


def test_jumping_behind_the_act_shows_nothing_before_there_are_answers() -> None:
    assert wanted(at("look"), COURSE) == (STEP.start, None)
    assert wanted(at("explain"), COURSE) == (STEP.start, None)
    assert wanted(on(take(at("ask"), SOME), "look"), COURSE) == (STEP.start, STEP.finish)


def test_what_was_done_by_hand_is_what_the_cue_wants_from_then_on() -> None:
    mine = paint(STEP.start, [parse_place("1/1/20")], 0.2)
    podium = watch(on(take(at("ask"), SOME), "act"), COURSE, solved(mine))
    assert wanted(forward(podium), COURSE) == (STEP.start, mine)
    assert wanted(back(podium), COURSE) == (STEP.start, mine)


def test_what_is_tried_behind_the_act_does_not_count_as_the_act() -> None:
    mine = paint(STEP.start, [parse_place("1/1/20")], 0.2)
    podium = watch(on(take(at("ask"), SOME), "act"), COURSE, solved(STEP.finish))
    assert standing_of(watch(podium, COURSE, solved(mine))).done == mine, "done once more"
    held = set_operation(STEP.finish, "voltage", 20.0)
    assert watch(podium, COURSE, solved(held)) == podium, "not what the act changes"
    for moment in ("look", "explain"):
        assert watch(on(podium, moment), COURSE, solved(mine)) == on(podium, moment)


def test_opening_and_closing_want_the_ends_of_the_lesson() -> None:
    last = LESSON.steps[-1]
    assert wanted(at("opening", 0), COURSE) == (STEP.start, None)
    assert wanted(at("closing", 3), COURSE) == (last.start, last.finish)


def test_a_second_round_needs_a_first_one_and_stays_hidden_until_it_is_revealed() -> None:
    assert ask_again(at("ask"), COURSE) == at("ask")
    first = reveal(take(at("ask"), SOME), COURSE)
    assert standing_of(first).shown
    second = ask_again(first, COURSE)
    assert standing_of(second).rounds == (SOME, Round())
    assert not standing_of(second).shown
    assert ask_again(take(second, SOME), COURSE) == take(second, SOME), "there are two rounds, not three"
    later = Round(hands=(9.0, 2.0))
    assert standing_of(take(second, later)).rounds == (SOME, later)


def test_after_the_act_nobody_is_asked_again() -> None:
    done = watch(on(take(at("ask"), SOME), "act"), COURSE, solved(STEP.finish))
    assert ask_again(back(done), COURSE) == back(done)


def test_there_is_no_histogram_of_nothing() -> None:
    assert not standing_of(reveal(at("ask"), COURSE)).shown


def test_the_answer_to_an_observation_is_kept_back_until_asked_for_and_until_there_is_one() -> None:
    assert not standing_of(reveal(at("look"), COURSE)).seen
    done = watch(on(take(at("ask"), SOME), "look"), COURSE, solved(STEP.finish))
    assert standing_of(reveal(done, COURSE)).seen
    assert not standing_of(reveal(reveal(done, COURSE), COURSE)).seen


def test_the_answers_of_the_class_stand_for_the_prediction() -> None:
    podium = take(at("ask", 2), Round(hands=(3.0, 8.0)))
    assert mark_of(podium, COURSE).prediction == ChoiceAnswer(1)
    again = ask_again(podium, COURSE)
    assert mark_of(again, COURSE).prediction == ChoiceAnswer(1), "the second round has no answers yet"
    assert mark_of(take(again, Round(hands=(8.0, 3.0))), COURSE).prediction == ChoiceAnswer(0)


@pytest.mark.parametrize("place", [-5, 999])
def test_going_beyond_the_ends_stops_at_them(place: int) -> None:
    podium = go_to(at("ask"), place)
    assert podium.at in (0, len(podium.lecture.cues) - 1)

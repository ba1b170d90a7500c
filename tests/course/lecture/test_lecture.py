"""A lecture: its cues, and the time each should be over."""

from __future__ import annotations

from itertools import pairwise

import pytest

from pvsim.course.lecture.lecture import Part, back_cue, compose, due_s, lecture_of, next_cue
from pvsim.course.lesson.lesson import Course
from pvsim.errors import LessonError
from tests.course.samples import lesson

COURSE = Course(title="Small", lessons=(lesson(),))
SLUG = COURSE.lessons[0].slug


def moments(part: Part) -> list[tuple[int, str]]:
    return [(cue.page, cue.moment) for cue in compose("L", [part], COURSE).cues]


def test_each_step_is_asked_acted_looked_at_and_explained() -> None:
    assert moments(Part(lesson=SLUG, minutes=8.0)) == [
        (0, "opening"),
        *((1, one) for one in ("ask", "act", "look", "explain")),
        *((2, one) for one in ("ask", "act", "explain")),  # this transfer asks for no observation
        (3, "closing"),
    ]


def test_a_part_may_show_some_steps_and_then_leaves_out_a_closing_that_speaks_of_others() -> None:
    assert moments(Part(lesson=SLUG, steps=("shade-one",), minutes=5.0)) == [
        (0, "opening"),
        *((1, one) for one in ("ask", "act", "look", "explain")),
    ]


def test_next_and_back_stay_within_the_lecture() -> None:
    lecture = lecture_of(COURSE, SLUG)
    last = len(lecture.cues) - 1
    assert next_cue(lecture, 0) == 1
    assert next_cue(lecture, last) == last
    assert back_cue(lecture, 0) == 0
    assert back_cue(lecture, last) == last - 1


def test_times_rise_from_cue_to_cue_and_end_with_the_planned_minutes() -> None:
    parts = [Part(lesson=SLUG, minutes=8.0), Part(lesson=SLUG, steps=("elsewhere",), minutes=4.0)]
    lecture = compose("L", parts, COURSE)
    due = [due_s(lecture, at) for at in range(len(lecture.cues))]
    assert all(early < late for early, late in pairwise(due))
    first = sum(cue.part == 0 for cue in lecture.cues)
    assert due[first - 1] == pytest.approx(8 * 60)
    assert due[-1] == pytest.approx(12 * 60)
    assert lecture.minutes == 12


@pytest.mark.parametrize(
    ("parts", "message"),
    [
        ([], "0 parts"),
        ([Part(lesson="one-cel", minutes=1.0)], "Did you mean 'one-cell'"),
        ([Part(lesson=SLUG, steps=("shade",), minutes=1.0)], "Did you mean 'shade-one'"),
    ],
)
def test_what_the_course_does_not_have_is_refused_by_name(parts: list[Part], message: str) -> None:
    named = Course(title="Small", lessons=COURSE.lessons)
    with pytest.raises(LessonError, match=message if "one-cel" not in message else "no lesson"):
        compose("L", parts, named)


def test_the_whole_course_makes_a_lecture_with_a_part_for_each_lesson() -> None:
    lecture = lecture_of(COURSE)
    assert [part.lesson for part in lecture.parts] == [SLUG]
    assert lecture.title == "Small"

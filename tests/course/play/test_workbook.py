"""A learner's workbook: nothing done is lost, and nothing foreign is believed."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pvsim.array import Place, paint
from pvsim.course import own_course
from pvsim.course.number.solved_scenario import solved
from pvsim.course.play.player import begin, go_to, observe, predict, settle, watch
from pvsim.course.play.workbook import LONGEST, Workbook, merge, read_workbook, write_workbook
from pvsim.errors import FileError

COURSE = own_course()
LESSON = COURSE.lessons[0]


def worked(lesson=LESSON, *, by_hand: bool = False, steps: int = 1):
    """The progress of somebody who has done the first steps."""
    progress = begin(lesson)
    for number, step in enumerate(lesson.steps[:steps], start=1):
        progress = go_to(lesson, progress, number)
        given = 0 if hasattr(step.predict, "choices") else "7.5"
        progress = predict(lesson, progress, given)
        finish = paint(step.finish, [Place(1, 1, cell=1)], 0.999) if by_hand else step.finish
        progress = watch(lesson, progress, solved(finish))
        assert progress.marks[number - 1].done is not None
        if step.observe is not None:
            progress = observe(lesson, progress, 0 if hasattr(step.observe, "choices") else "1")
        progress = settle(lesson, progress)
    return progress


@pytest.mark.parametrize("by_hand", [False, True])
def test_a_workbook_reads_back_equal(by_hand: bool) -> None:
    mine = Workbook(progresses={LESSON.slug: worked(by_hand=by_hand)}, at=LESSON.slug)
    text = write_workbook(mine, COURSE)
    again = read_workbook(text, COURSE)
    assert again.progresses == mine.progresses
    assert again.at == LESSON.slug
    assert write_workbook(again, COURSE) == text


def test_the_chosen_track_is_kept_and_one_who_has_chosen_wins() -> None:
    mine, nobodys = Workbook(track="installer"), Workbook()
    text = write_workbook(mine, COURSE)
    assert read_workbook(text, COURSE).track == "installer"
    assert "track" not in json.loads(write_workbook(nobodys, COURSE))
    assert merge(mine, nobodys).track == merge(nobodys, mine).track == "installer"
    assert merge(mine, Workbook(track="student")).track == "installer"


@pytest.mark.parametrize("track", [3, None, ["student"], {"id": "student"}, "x" * 41])
def test_a_track_that_is_no_name_is_not_believed(track: object) -> None:
    whole = json.loads(write_workbook(Workbook(), COURSE)) | {"track": track}
    assert read_workbook(json.dumps(whole), COURSE).track == ""


def test_the_whole_course_worked_through_is_a_small_text() -> None:
    done = {one.slug: worked(one, steps=len(one.steps)) for one in COURSE.lessons}
    text = write_workbook(Workbook(progresses=done), COURSE)
    assert len(text) < LONGEST / 10
    assert read_workbook(text, COURSE).progresses == done


def test_lessons_and_steps_that_the_course_does_not_have_are_carried_along() -> None:
    whole = json.loads(write_workbook(Workbook(progresses={LESSON.slug: worked()}), COURSE))
    whole["lessons"]["elsewhere"] = {"page": 2, "steps": {"a": {"tries": 3}}}
    whole["lessons"][LESSON.slug]["steps"]["gone"] = {"tries": 1}
    again = json.loads(write_workbook(read_workbook(json.dumps(whole), COURSE), COURSE))
    assert again["lessons"]["elsewhere"] == whole["lessons"]["elsewhere"]
    assert again["lessons"][LESSON.slug]["steps"]["gone"] == {"tries": 1}


def test_of_two_workbooks_each_step_that_is_further_wins() -> None:
    near, far = worked(steps=1), worked(steps=2)
    one, other = (Workbook(progresses={LESSON.slug: it}) for it in (near, far))
    assert merge(one, other).progresses[LESSON.slug] == far
    assert merge(other, one).progresses[LESSON.slug] == far
    second = COURSE.lessons[1]
    elsewhere = Workbook(progresses={second.slug: worked(second)}, at=second.slug)
    both = merge(one, elsewhere)
    assert set(both.progresses) == {LESSON.slug, second.slug}
    assert both.at == second.slug


def test_work_that_does_not_do_what_the_step_asks_is_not_believed() -> None:
    step = LESSON.steps[0]
    untouched = worked(by_hand=True)
    false = replace(untouched.marks[0], done=step.start)
    text = write_workbook(
        Workbook(progresses={LESSON.slug: replace(untouched, marks=(false, *untouched.marks[1:]))}), COURSE
    )
    mark = read_workbook(text, COURSE).progresses[LESSON.slug].marks[0]
    assert mark.prediction == false.prediction
    assert mark.done is None
    assert not mark.settled


@pytest.mark.parametrize(
    "text",
    [
        "",
        "[]",
        "{}",
        '{"format": 1}',
        '{"format": 2, "lessons": {}}',
        "[" * 5000,
        "x" * (LONGEST + 1),
        '{"format": 1, "lessons": {"x": {"a": ' + "[" * 800 + "]" * 800 + "}}}",
        '{"format": 1, "lessons": {"x": {"a": "\\ud800"}}}',
        '{"format": 1, "lessons": {"x": {"a": NaN}}}',
    ],
    ids=lambda text: text[:40],
)
def test_what_is_no_workbook_is_refused(text: str) -> None:
    with pytest.raises(FileError):
        read_workbook(text, COURSE)


anything = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=8),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=8), inner, max_size=3),
    max_leaves=8,
)
keys = st.sampled_from(["prediction", "done", "seen", "tries", "settled"])


@given(entry=st.dictionaries(keys, anything) | anything, page=anything)
def test_whatever_stands_in_a_step_it_is_read_or_left_out(entry, page) -> None:
    steps = {LESSON.steps[0].id: entry}
    text = json.dumps({"format": 1, "lessons": {LESSON.slug: {"page": page, "steps": steps}}})
    progress = read_workbook(text, COURSE).progresses[LESSON.slug]
    assert 0 <= progress.page <= len(LESSON.steps) + 1
    assert len(progress.marks) == len(LESSON.steps)

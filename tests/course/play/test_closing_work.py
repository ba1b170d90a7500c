"""A closing test in the workbook: answered, kept, read back, put together, and spoilt."""

from __future__ import annotations

import json

import pytest

from pvsim.course.folder.course_reader import own_course
from pvsim.course.play.closing_work import (
    AskedQuestion,
    ClosingWork,
    answered,
    judged_anew,
    merge_closing,
    read_closing,
    write_closing,
)
from pvsim.course.play.workbook import Workbook, merge, read_workbook, write_workbook

IDEA, OTHER, MET = "diode/a/predict#0", "two-tops/b/observe#2", "diode/fresh/one#1"
WORK = ClosingWork(
    number=1,
    seed=5,
    asked=(
        AskedQuestion(exercise="diode/fresh/one", ideas=(IDEA, MET)),
        AskedQuestion(exercise="two-tops/fresh/two", ideas=(OTHER,)),
    ),
    met=(MET,),
)


def test_a_right_answer_takes_its_ideas_off_the_list() -> None:
    found = answered(WORK, 0, 1.0)
    assert found.learned == {IDEA, MET}
    assert found.met == ()
    assert (found.asked[0].share, found.asked[1].share) == (1.0, None)
    assert (found.answers, found.finished) == (1, False)
    assert answered(found, 1, 0.0).finished


@pytest.mark.parametrize("share", [0.0, 0.5, 0.999])
def test_an_answer_that_is_not_right_leaves_them_and_puts_its_own_on_the_list(share: float) -> None:
    found = answered(WORK, 1, share, "two-tops/fresh/two#0")
    assert found.learned == frozenset()
    assert found.met == (MET, "two-tops/fresh/two#0")
    learned = answered(WORK, 0, 1.0)
    assert answered(learned, 1, share, MET).learned == {IDEA}, "met again, it is to be revisited again"


def test_a_step_that_is_begun_again_is_judged_anew() -> None:
    found = answered(WORK, 0, 1.0)
    assert judged_anew(found, "diode/a").learned == {MET}
    assert judged_anew(found, "diode/other") == found


def test_what_is_answered_stays() -> None:
    found = answered(WORK, 0, 0.0)
    assert answered(found, 0, 1.0) == found


def test_a_workbook_keeps_it() -> None:
    course = own_course()
    work = answered(answered(WORK, 0, 0.25, MET), 1, 1.0)
    text = write_workbook(Workbook(closing=work), course)
    assert read_workbook(text, course).closing == work
    assert "closing" not in json.loads(write_workbook(Workbook(), course))
    assert read_workbook(write_workbook(Workbook(), course), course).closing == ClosingWork()


def test_two_workbooks_know_every_answer_of_one_test() -> None:
    one, other = answered(WORK, 0, 1.0), answered(WORK, 1, 0.0, MET)
    for found in (merge_closing(one, other), merge_closing(other, one)):
        assert [question.share for question in found.asked] == [1.0, 0.0]
        assert IDEA in found.learned
    assert merge(Workbook(closing=WORK), Workbook()).closing == WORK
    assert merge(Workbook(), Workbook(closing=WORK)).closing == WORK
    assert merge_closing(WORK, WORK) == WORK


def test_of_two_tests_the_later_one_or_the_one_that_is_further_goes_on() -> None:
    begun = ClosingWork(number=1, seed=9, asked=(AskedQuestion(exercise="diode/fresh/three"),))
    done = answered(WORK, 0, 1.0)
    assert merge_closing(begun, done).seed == merge_closing(done, begun).seed == WORK.seed
    later = ClosingWork(number=2, seed=9, asked=begun.asked)
    assert merge_closing(later, done).seed == merge_closing(done, later).seed == 9
    assert merge_closing(later, done).learned == done.learned


@pytest.mark.parametrize(
    "spoilt",
    [
        None, 3, "x", [], {"asked": 3}, {"asked": [3]}, {"asked": [{}] * 21},
        {"number": 1, "seed": 5, "asked": [{"exercise": "../x/y"}]},
        {"number": 1, "seed": True, "asked": [{"exercise": "diode/fresh/one"}]},
        {"number": -1, "seed": 5, "asked": [{"exercise": "diode/fresh/one"}]},
        {"number": 1, "seed": 5, "asked": [{"exercise": "diode/fresh/one"}] * 2},
        {"number": 1, "seed": 5, "asked": []},
        {"learned": [3, "x", None], "met": {"a": 1}},
    ],
)  # fmt: skip
def test_of_what_is_spoilt_nothing_is_taken(spoilt: object) -> None:
    assert read_closing(spoilt) == ClosingWork()


@pytest.mark.parametrize("share", ["1", True, 2.0, -2.0, None, []])
def test_a_share_that_cannot_be_is_no_answer(share: object) -> None:
    whole = write_closing(answered(WORK, 0, 1.0))
    whole["asked"][0]["share"] = share
    assert read_closing(whole).asked[0].share is None

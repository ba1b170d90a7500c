"""The closing test on the lesson region: drawn, answered, kept, and silent about its key until then."""

from __future__ import annotations

import json
from base64 import b64decode
from collections.abc import Callable
from itertools import count
from pathlib import Path
from queue import Queue
from threading import get_ident
from typing import Any

import pytest

pytest.importorskip("panel", reason="the page needs the extra pvsim[page]")

from pvsim.app.lesson import closing_desk
from pvsim.app.lesson.closing_desk import ClosingDesk
from pvsim.app.lesson.learner import CLOSING, Learner
from pvsim.app.lesson.view import LessonView
from pvsim.app.open_course import OpenCourse
from pvsim.app.session.errand import Errand
from pvsim.app.session.state import State
from pvsim.course.folder.course_reader import own_course
from pvsim.course.lesson.render import render_text
from pvsim.course.number.evaluation import Readings, value_of
from pvsim.course.number.solved_scenario import solved
from pvsim.exercise import ChoiceItem, ExerciseCase, Item, given_of, make_item, own_exercises, pool
from pvsim.exercise.wording import bare
from pvsim.files.demo import read_demo
from pvsim.words import speaking
from tests.app.wishes import press
from tests.course.samples import LESSON, write_course
from tests.exercise.paper.contents import pages_of
from tests.patience import PATIENCE_s

BY_SLUG = {lesson.slug: lesson for lesson in own_course().lessons}


@pytest.fixture(autouse=True)
def _drawn(monkeypatch: pytest.MonkeyPatch) -> None:
    """The same tests each time; every page has a word of its own all the same."""
    seeds, words = count(11), count(1)
    monkeypatch.setattr(closing_desk, "randbelow", lambda _most: next(seeds))
    monkeypatch.setattr(closing_desk, "token_hex", lambda _size: f"trial-{next(words)}-word")


@pytest.fixture
def state() -> State:
    return State(read_demo("workshop"))


@pytest.fixture
def view(state: State) -> LessonView:
    return LessonView(state)


def desk_of(view: LessonView) -> ClosingDesk:
    return view._closing


def item_of(view: LessonView) -> Item:
    """The question of the page with its key, which the page has not got."""
    desk = desk_of(view)
    assert desk._asked is not None
    item = desk._item(desk._asked)
    assert item is not None
    return item


def right(item: Item) -> Any:
    if isinstance(item, ChoiceItem):
        return [one.share for one in item.choices].index(1.0)
    return f"{item.value:.6f} {item.unit.symbol}"  # of so many decimals nobody takes them for thousands


def wrong(item: Item) -> tuple[Any, str]:
    """An answer that shows an idea, and the idea."""
    if isinstance(item, ChoiceItem):
        at = next(k for k, one in enumerate(item.choices) if one.share <= 0.0)
        return at, item.choices[at].idea
    one = next(one for one in item.misconceptions if one.share == 0.0)
    return f"{one.value:.6f} {item.unit.symbol}", one.idea


def mistaken(view: LessonView, *, again: bool = False) -> None:
    """The first step of the snow, predicted by the covered area, and its act done; perhaps begun again."""
    lesson = BY_SLUG["snow-edge"]
    step = lesson.steps[0]
    question = step.predict
    far = value_of(question.mistakes[0].value, Readings(solved(step.finish), solved(step.start)))  # type: ignore[union-attr]
    press(view, "open", "snow-edge")
    press(view, "turn", 1)
    if again:
        press(view, "restart")
    press(view, "predict", f"{100 * far:.2f}")
    press(view, "do")
    press(view, "contents")


def test_the_contents_offer_it_and_an_empty_workbook_is_told(view: LessonView, state: State) -> None:
    page = press(view, "contents")
    assert page["closing"]["state"]["text"] == ""
    page = press(view, "closing")
    assert (page["kind"], page["stage"], page["lists"]) == ("closing-test", "opening", [])
    assert "whole course" in page["note"]
    assert state.lesson == CLOSING
    assert len(page["dots"]) == 8
    assert press(view, "contents")["kind"] == "contents"
    assert state.lesson == ""


def test_the_last_lesson_leads_to_it(view: LessonView) -> None:
    last = own_course().lessons[-1]
    press(view, "open", last.slug)
    page = press(view, "turn", len(last.steps) + 1)
    assert page["next"] == "Closing test"
    assert press(view, "turn", len(last.steps) + 2)["kind"] == "closing-test"


def test_an_idea_of_the_workbook_is_asked_for_and_leaves_the_list_when_it_is_answered(
    view: LessonView,
) -> None:
    mistaken(view)
    page = press(view, "closing")
    assert page["lists"] == [
        {
            "slug": "snow-edge",
            "title": BY_SLUG["snow-edge"].title,
            "ideas": ["the loss is the covered area"],
        }
    ]
    page = press(view, "turn", 1)
    assert BY_SLUG["snow-edge"].title in page["from"]
    page = press(view, "closing_answer", right(item_of(view)))
    assert page["verdict"]["right"]
    assert page["solution"]
    assert page["next_ready"]
    page = press(view, "turn", 7)
    assert page["stage"] == "result"
    assert page["total"] == "1 of 6 right"
    assert (page["lists"], page["anew"]) == ([], "")
    assert "have left your list" in page["note"]
    mistaken(view, again=True)
    press(view, "closing")
    assert press(view, "turn", 0)["lists"][0]["ideas"] == ["the loss is the covered area"], "it was met again"


def test_a_wrong_answer_names_its_idea_and_puts_it_on_the_list(view: LessonView) -> None:
    press(view, "closing")
    press(view, "turn", 1)
    given, idea = wrong(item_of(view))
    page = press(view, "closing_answer", given)
    assert not page["verdict"]["right"]
    assert page["verdict"]["idea"] == idea
    assert page["verdict"]["found"]
    assert page["part"]["state"] == "done"
    assert press(view, "turn", 0)["lists"][0]["ideas"] == [idea]
    press(view, "turn", 1)
    press(view, "closing_answer", right(item_of(view)))
    assert not view.root.page["verdict"]["right"], "what is answered stays"


def test_what_cannot_be_read_is_no_answer_yet(view: LessonView) -> None:
    press(view, "closing")
    for at in range(1, 7):
        page = press(view, "turn", at)
        unreadable = -1 if page["part"]["question"]["kind"] == "choice" else "many"
        page = press(view, "closing_answer", unreadable)
        assert page["part"]["wrong"]
        assert page["verdict"] is None
        assert press(view, "closing_answer", "")["part"]["wrong"]
    assert desk_of(view)._learner.closing.answers == 0


def test_either_decimal_mark_and_the_unit_are_read(view: LessonView) -> None:
    press(view, "closing")
    seen = 0
    for at in range(1, 7):
        press(view, "turn", at)
        item = item_of(view)
        if isinstance(item, ChoiceItem):
            continue
        seen += 1
        page = press(view, "closing_answer", str(right(item)).replace(".", ","))
        assert page["verdict"]["right"], item.id
    assert seen


def test_no_key_is_on_the_page_or_in_the_workbook_before_the_answer(view: LessonView) -> None:
    """Nothing that is sent tells the answer, and what the browser keeps does not give the numbers."""
    press(view, "closing")
    for at in range(1, 7):
        press(view, "turn", at)
        item = item_of(view)
        sent = json.dumps([view.root.page, view.root.workbook, view.root.said], ensure_ascii=False)
        entry = view.root.page["part"]["question"]
        assert view.root.page["verdict"] is None
        assert view.root.page["solution"] == ""
        if isinstance(item, ChoiceItem):
            assert set(entry) == {"kind", "choices", "chosen"}
            assert entry["chosen"] is None
            told = [one.feedback for one in item.choices]
        else:
            assert set(entry) == {"kind", "unit", "given"}
            assert entry["given"] == ""
            told = [one.feedback for one in item.misconceptions]
        assert view.root.page["part"]["html"] == render_text(given_of(item).stem)
        for text in [*told, item.solution]:
            if text:
                assert bare(text)[:40] not in sent, text
    seed = desk_of(view)._learner.closing.seed
    assert str(seed) in view.root.workbook
    with_seed = 0
    for asked in desk_of(view)._learner.closing.asked:
        (template,) = [one for one in own_exercises(asked.exercise.split("/")[0]) if one.id == asked.exercise]
        known = desk_of(view)._item(asked)
        assert known is not None
        with_seed += make_item(template, ExerciseCase(seed=seed)).stem == known.stem
    assert with_seed < 6, "the seed that the browser keeps makes other numbers"
    assert desk_of(view)._secret not in view.root.workbook


def test_another_page_has_other_numbers_for_the_same_workbook(view: LessonView) -> None:
    press(view, "closing")
    kept = view.root.workbook
    other = LessonView(State(read_demo("workshop")))
    press(other, "recall", kept)
    asked = desk_of(view)._learner.closing.asked
    assert desk_of(other)._learner.closing.asked == asked
    stems = [[desk_of(one)._item(question).stem for question in asked] for one in (view, other)]  # type: ignore[union-attr]
    assert stems[0] != stems[1]


def test_the_result_is_kept_and_a_test_goes_on_where_it_was_left(view: LessonView) -> None:
    press(view, "closing")
    press(view, "turn", 1)
    press(view, "closing_answer", right(item_of(view)))
    kept = view.root.workbook
    later = LessonView(State(read_demo("workshop")))
    press(later, "closing")  # opened before the browser told what it had kept
    page = press(later, "recall", kept)
    assert page["count"] == "Question 2 of 6"
    page = press(later, "turn", 1)
    assert "right" in page["gone"]
    assert page["part"] is None
    for at in range(2, 7):
        press(later, "turn", at)
        press(later, "closing_answer", right(item_of(later)))
    page = press(later, "turn", 7)
    assert page["total"] == "6 of 6 right"
    assert press(later, "contents")["closing"]["state"] == {"name": "done", "text": "6 of 6 right"}
    assert press(later, "closing")["stage"] == "result"
    page = press(later, "closing_anew")
    assert page["stage"] == "opening"
    assert press(later, "contents")["closing"]["state"]["text"] == ""


def test_an_exercise_that_is_gone_makes_a_new_test(view: LessonView) -> None:
    press(view, "closing")
    asked = desk_of(view)._learner.closing.asked
    spoilt = view.root.workbook.replace(asked[0].exercise, "diode/fresh/gone")
    other = LessonView(State(read_demo("workshop")))
    press(other, "recall", spoilt)
    press(other, "closing")
    assert "diode/fresh/gone" not in other.root.workbook
    assert desk_of(other)._learner.closing.number == 2


def test_forgetting_forgets_it(view: LessonView) -> None:
    press(view, "closing")
    press(view, "contents")
    press(view, "forget")
    assert "closing" not in json.loads(view.root.workbook)


def test_a_course_without_exercises_offers_none(tmp_path: Path) -> None:
    write_course(tmp_path)
    view = LessonView(State(read_demo("workshop")), OpenCourse(tmp_path))
    assert press(view, "contents")["closing"] is None
    assert press(view, "closing")["kind"] == "contents"


def test_its_address_opens_it(state: State) -> None:
    state.lesson = CLOSING
    assert LessonView(state).root.page["kind"] == "closing-test"


def test_in_german_everything_is_german() -> None:
    with speaking("de"):
        learner = Learner(own_course("de"))
        desk = ClosingDesk(learner, seed=lambda: 5)
        desk.open()
        assert "ganzen" in desk.page()["note"]
        desk.turn(1)
        page = desk.page()
        assert page["language"] == ""
        assert page["count"].startswith("Frage 1 von")
        names = [one.id for one in own_exercises(learner.closing.asked[0].exercise.split("/")[0], "de")]
        assert learner.closing.asked[0].exercise in names


def test_a_test_on_paper_is_saved_by_the_browser_and_its_solution_is_of_the_same_number(
    view: LessonView, monkeypatch: pytest.MonkeyPatch
) -> None:
    told: list[dict[str, Any]] = []
    mistaken(view)
    page = press(view, "closing_opening")
    assert (page["stage"], set(page["paper"])) == ("opening", {"title", "note", "test", "solution"})
    work, tell = view._learner.closing, view.root.tell
    monkeypatch.setattr(view.root, "tell", lambda message: (told.append(message), tell(message)))
    for what in ("test", "solution", "test"):
        press(view, "closing_paper", what)
    files = [one for one in told if "file" in one]
    number = files[0]["file"].removeprefix("closing-test-").removesuffix(".pdf")
    assert [one["file"] for one in files[:2]] == [
        f"closing-test-{number}.pdf",
        f"closing-test-{number}-solution.pdf",
    ]
    assert files[2]["file"] != files[0]["file"]
    paper, solution = (" ".join(pages_of(b64decode(one["base64"]))) for one in files[:2])
    assert "Answer:" not in paper
    assert "Drawn for the idea" in solution
    assert number in paper
    assert view._learner.closing == work, "the test on the page stays what it was"


def test_a_course_without_exercises_says_so_where_paper_is_asked_for(tmp_path: Path, state: State) -> None:
    view = LessonView(state, OpenCourse(write_course(tmp_path, sample=LESSON)))
    press(view, "closing_opening")
    assert "exercises" in state.notice
    press(view, "closing_paper", "test")


class Document:
    """What a view needs of a session's document: turns, taken when the test lets them be."""

    session_context = None

    def __init__(self) -> None:
        self.turns: Queue[Callable[[], None]] = Queue()

    def add_next_tick_callback(self, turn: Callable[[], None]) -> None:
        self.turns.put(turn)


@pytest.fixture
def served() -> tuple[LessonView, Document]:
    """A view in a session that is being looked at."""
    document = Document()
    state = State(read_demo("workshop"))
    state.errand = Errand(document)  # type: ignore[arg-type]
    return LessonView(state), document


def test_a_test_is_made_beside_the_event_loop(
    served: tuple[LessonView, Document], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Reading exercises and solving for their numbers is another thread's, and none of it is left over."""
    view, document = served
    threads: list[int] = []

    def heard(work: Callable[..., Any]) -> Callable[..., Any]:
        def do(*given: Any, **named: Any) -> Any:
            threads.append(get_ident())
            return work(*given, **named)

        return do

    for where, name in ((pool, "own_exercises"), (closing_desk, "draw_closing"), (closing_desk, "make_item")):
        monkeypatch.setattr(where, name, heard(getattr(where, name)))
    page = press(view, "closing")
    assert (page["kind"], page["lead"]) == ("closing-making", "The test is being made …")
    assert press(view, "turn", 1)["kind"] == "closing-making"
    document.turns.get(timeout=PATIENCE_s)()
    assert view.root.page["stage"] == "opening"
    for at in range(1, 7):
        assert press(view, "turn", at)["part"] is not None
    assert get_ident() not in threads
    assert len(threads) > 6
    press(view, "contents")
    assert press(view, "closing")["stage"] == "opening"  # what is there opens at once
    assert press(view, "closing_anew")["kind"] == "closing-making"


def test_who_leaves_while_it_is_made_is_not_called_back(served: tuple[LessonView, Document]) -> None:
    view, document = served
    press(view, "closing")
    press(view, "contents")
    document.turns.get(timeout=PATIENCE_s)()
    assert view.root.page["kind"] == "contents"
    assert press(view, "closing")["kind"] == "closing-making"  # nothing was drawn for nobody
    document.turns.get(timeout=PATIENCE_s)()
    assert view.root.page["stage"] == "opening"
    assert desk_of(view)._learner.closing.number == 1


def test_a_test_that_cannot_be_made_says_so(
    served: tuple[LessonView, Document], monkeypatch: pytest.MonkeyPatch
) -> None:
    view, document = served

    def broken(*_given: Any) -> Any:
        raise ZeroDivisionError

    monkeypatch.setattr(closing_desk, "draw_closing", broken)
    press(view, "closing")
    with pytest.raises(ZeroDivisionError):  # for whoever keeps the server's log
        document.turns.get(timeout=PATIENCE_s)()
    assert view.root.page["kind"] == "contents"
    assert "pvsim itself has an error" in view._state.notice
    monkeypatch.undo()
    press(view, "closing")
    document.turns.get(timeout=PATIENCE_s)()
    assert view.root.page["stage"] == "opening"

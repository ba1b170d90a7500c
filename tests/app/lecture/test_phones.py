"""A lecture and its class: asked once, heard by round, told in the notes, found again after a reload."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

pytest.importorskip("panel", reason="the page needs the extra pvsim[page]")
pytest.importorskip("sqlalchemy", reason="a class needs the extra pvsim[class]")

from pvsim.app.lecture.view import LectureView
from pvsim.app.room.classroom import Classroom
from pvsim.app.room.hub import Hub
from pvsim.app.session.state import State
from pvsim.array.place import parse_place
from pvsim.course.folder.course_reader import own_course
from pvsim.course.lecture.lecture import Part, compose
from pvsim.errors import StoreError
from pvsim.files.demo import read_demo
from pvsim.store import Store
from tests.app.wishes import say

COURSE = own_course()
FIVE = next(one for one in COURSE.lessons if one.slug == "five-levels")
CHOICE, NUMBER = FIVE.steps[1], FIVE.steps[0]


@pytest.fixture
def hub(tmp_path: Path) -> Iterator[Hub]:
    hub = Hub(f"sqlite:///{tmp_path / 'classes.sqlite'}")
    hub.address = "http://192.0.2.7:5610"
    yield hub
    hub.close()


class Hall:
    """A page with a lecture on one step, its class open."""

    def __init__(self, hub: Hub, step: str, *, poll: bool = True, notes: str = "") -> None:
        self.hub = hub
        self.state = State(read_demo("workshop"))
        self.room = self.state.classroom = Classroom(hub)
        self.view = LectureView(self.state)
        part = Part(lesson="five-levels", steps=(step,), minutes=10.0, poll=poll, notes=notes)
        self.state.lecture = compose("Tuesday", [part], COURSE)

    def press(self, *acts: Any) -> dict[str, Any]:
        """Press what the page has; the sheet shown afterwards."""
        for act in acts:
            name, value = act if isinstance(act, tuple) else (act, None)
            say(self.view.root, name, value)
        page: dict[str, Any] = self.view.root.page
        return page

    def answer(self, voter: str, value: float, number: int = 1) -> str:
        """A phone answers."""
        kept = self.hub.store().answer(self.room.poll, number, voter, value)
        self.room._hear(self.hub.store().look(self.room.code))  # as the hub tells it
        return str(kept)


@pytest.fixture
def hall(hub: Hub) -> Hall:
    hall = Hall(hub, CHOICE.id)
    hall.press(("begin", "live"), "class", "next")
    return hall


def test_the_class_sees_code_address_and_a_square_for_cameras(hall: Hall) -> None:
    room = hall.view.root.page["room"]
    assert room["code"] == hall.room.code
    assert room["address"] == "192.0.2.7:5610/join"
    assert room["dots"] >= 21  # the smallest square there is, ISO/IEC 18004
    assert room["path"].count("M") > 100
    assert "--network" in room["far"]


def test_the_lecturer_sees_when_one_address_answers_often_or_tries_codes(hall: Hall) -> None:
    gate, code = hall.hub.gate, hall.room.code
    for number in range(5):
        gate.vote(code, "192.0.2.1", f"voter-{number}")
    gate.vote(code, "192.0.2.2", "voter")
    hall.answer("phone-a", 1)
    assert hall.view.root.page["room"]["seen"] == []
    for number in range(5, 20):
        gate.vote(code, "192.0.2.1", f"voter-{number}")
    hall.answer("phone-b", 1)
    room = hall.view.root.page["room"]
    assert room["count"] == "2 phones answered · 20 from one address"
    assert room["seen"][0].startswith("20 of 21 phones have answered from one address")
    for number in range(61):
        gate.knocked(f"WRONG{number}", "192.0.2.3", waited=False, there=False)
    hall.answer("phone-c", 1)
    assert "61 wrong ones" in hall.view.root.page["room"]["seen"][1]


def test_a_class_behind_one_router_is_nothing_to_tell(hall: Hall) -> None:
    for number in range(300):
        hall.hub.gate.vote(hall.room.code, "192.0.2.1", f"voter-{number}")
    hall.answer("phone-a", 1)
    room = hall.view.root.page["room"]
    assert room["seen"] == []
    assert room["count"] == "1 phone answered"


def test_the_question_goes_to_the_phones_once_and_gives_nothing_away(hall: Hall) -> None:
    poll = hall.room.poll
    sheet = hall.room._state.sheet
    assert sheet["kind"] == "choice"
    assert len(sheet["choices"]) == len(CHOICE.predict.choices)
    assert set(sheet) == {"lesson", "step", "question", "kind", "choices", "unit"}
    hall.press("back", "next")
    assert hall.room.poll == poll
    assert hall.room.asking


def test_phones_and_hands_are_counted_together_by_round(hall: Hall) -> None:
    assert hall.answer("phone-a", 1) == "kept"
    assert hall.answer("phone-b", 2) == "kept"
    page = hall.press(("hands", "0 3 0 1"), "reveal")
    assert page["chart"]["rounds"][0]["counts"] == [0, 4, 1, 1]
    hall.press("again")
    assert hall.answer("phone-a", 1, number=2) == "kept"
    page = hall.press("reveal")
    assert [one["counts"] for one in page["chart"]["rounds"]] == [[0, 4, 1, 1], [0, 1, 0, 0]]
    first = hall.room.tally().in_round(1)
    assert first.hands == (0, 3, 0, 1)


@pytest.mark.parametrize("way", ["next", ("go", 2), ("go", 3), ("go", 4)], ids=str)
def test_answers_close_when_the_act_begins_whichever_way_it_begins(hall: Hall, way: Any) -> None:
    hall.answer("phone-a", 1)
    assert hall.press(way)["moment"] != "ask"
    assert not hall.state.locked
    assert not hall.room.asking
    assert hall.answer("phone-b", 1) != "kept"


def test_who_goes_on_by_arrows_alone_reads_the_class_of_before_the_outcome(hall: Hall) -> None:
    hall.answer("phone-a", 1)
    page = hall.press("next", "next", "next")
    assert page["moment"] == "explain"
    assert hall.answer("phone-b", 0) != "kept"
    assert hall.view.root.page["foreseen"].endswith("of 1 foresaw it")


def test_going_on_without_answers_closes_them_too(hall: Hall) -> None:
    assert hall.press("next")["moment"] == "ask"
    assert hall.press("next")["moment"] == "act"
    assert not hall.room.asking
    assert hall.answer("phone-a", 1) != "kept"


def test_an_act_that_was_only_jumped_to_stays_locked_and_takes_no_answers(hall: Hall) -> None:
    hall.press(("go", 2))
    assert hall.state.locked
    assert hall.answer("phone-a", 1) != "kept"
    hall.press("back")
    assert hall.answer("phone-a", 1) == "kept"


def test_a_slip_forward_costs_nobody_an_answer(hall: Hall) -> None:
    hall.answer("phone-a", 1)
    poll = hall.room.poll
    hall.press("again")
    hall.press("next", "back")
    assert hall.room.asking
    assert (hall.room.poll, hall.room.round) == (poll, 2), "the round that was open is open again"
    assert hall.answer("phone-a", 2, number=2) == "kept"


def test_once_the_outcome_was_seen_going_back_takes_no_answers(hall: Hall) -> None:
    hall.answer("phone-a", 1)
    hall.press("next")
    hall.state.paint([parse_place("1/4/14")], 0.2)
    hall.press("back")
    assert hall.view.root.page["moment"] == "ask"
    assert not hall.room.asking
    assert hall.answer("phone-b", 1) != "kept"


def test_answers_that_could_not_be_closed_are_closed_as_soon_as_the_store_is_back(
    hall: Hall, monkeypatch: pytest.MonkeyPatch
) -> None:
    def gone(*_given: object) -> None:
        raise StoreError("the disk is full", expected="room on it", mend="Make some")

    hall.answer("phone-a", 1)
    monkeypatch.setattr(Store, "end_round", gone)
    assert hall.press("next")["moment"] == "act"
    assert "the disk is full" in hall.state.notice
    assert hall.room.asking
    monkeypatch.undo()
    hall.answer("phone-c", 1)  # whatever is heard next
    assert not hall.room.asking


def test_numbers_of_phones_make_the_histogram(hub: Hub) -> None:
    hall = Hall(hub, NUMBER.id)
    hall.press(("begin", "live"), "class", "next")
    assert hall.room._state.sheet["unit"] == "%"
    hall.answer("phone-a", 2.5)
    hall.answer("phone-b", 33.0)
    page = hall.press(("hands", "2.5"), "reveal")
    assert page["chart"]["rounds"][0]["total"] == 3


def test_a_part_that_asks_nobody_asks_no_phones_either(hub: Hub) -> None:
    hall = Hall(hub, CHOICE.id, poll=False)
    hall.press(("begin", "live"), "class", "next")
    assert hall.room.poll is None


def test_the_notes_know_moment_notes_clock_and_answers(hub: Hub) -> None:
    hall = Hall(hub, CHOICE.id, notes="Ask the **back row** first.")
    hall.press(("begin", "live"))
    assert say(hall.view.root, "notes")["notes"] == hall.room.notes_path
    hall.press("next")
    scene = hall.room._state.scene
    assert (scene["lesson"], scene["step"], scene["moment"]) == (FIVE.title, CHOICE.title, "ask")
    assert "<strong>back row</strong>" in scene["notes"]
    assert scene["planned_minutes"] == 10
    assert scene["started"] > 0
    assert CHOICE.title in scene["next"]
    assert hall.view.root.page["room"] == {}, "the notes alone put no code on the wall"


def test_the_notes_count_hands_at_once_in_either_round(hub: Hub) -> None:
    hall = Hall(hub, CHOICE.id)
    hall.press(("begin", "live"), "notes", "next", ("hands", "3 12 5 1"))
    assert hall.room._state.scene["answers"] == 21
    hall.press("again")
    assert hall.room._state.scene["answers"] == 0
    hall.press(("count", {"choice": 2, "by": 1}))
    assert hall.room._state.scene["answers"] == 1


def test_the_notes_of_a_step_stand_there_once(hub: Hub) -> None:
    hall = Hall(hub, CHOICE.id)
    hall.press(("begin", "live"), "notes")
    assert hall.room._state.scene["next_notes"]
    hall.press("next")
    scene = hall.room._state.scene
    assert scene["notes"]
    assert scene["next"]
    assert scene["next_notes"] == "", "the next moment is of the same step"


def test_only_a_second_press_closes_the_class_and_takes_the_code_from_the_wall(hall: Hall) -> None:
    assert "once more" in hall.press("class")["hint"]
    assert hall.room.is_open
    hall.press("reveal")
    assert "once more" in hall.press("class")["hint"], "something else was pressed between"
    assert hall.press("class")["room"] == {}
    assert not hall.room.is_open


def test_leaving_the_lecture_closes_the_class(hall: Hall) -> None:
    hall.press("leave")
    assert not hall.room.is_open


def test_a_reload_finds_the_class_and_its_answers_again(hall: Hall) -> None:
    hall.answer("phone-a", 1)
    hall.press("reveal")
    again = Hall(hall.hub, CHOICE.id)
    again.state.lecture = None
    page = again.press(("resume", hall.view.root.kept))
    assert page["room"]["code"] == hall.room.code
    assert page["chart"]["rounds"][0]["counts"] == [0, 1, 0, 0]
    assert again.answer("phone-b", 0) == "kept"
    assert again.view.root.page["chart"]["rounds"][0]["counts"] == [1, 1, 0, 0]


def test_nobody_joins_an_imaginary_class(hub: Hub) -> None:
    hall = Hall(hub, CHOICE.id)
    hall.press(("begin", "rehearsal"), "class")
    assert not hall.room.is_open
    assert "imaginary" in hall.state.notice


def test_a_store_that_cannot_be_written_is_told_and_the_lecture_goes_on(tmp_path: Path) -> None:
    file = tmp_path / "no-folder"
    file.write_text("")
    hall = Hall(Hub(f"sqlite:///{file / 'classes.sqlite'}"), CHOICE.id)
    hall.press(("begin", "live"), "class")
    assert hall.state.notice
    assert hall.press("next")["moment"] == "ask"

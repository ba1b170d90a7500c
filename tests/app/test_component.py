"""How a component answers its browser, whatever it says."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import pytest

from pvsim.app.assets import STATIC
from pvsim.app.component import MOST_WISHES, Component, Reply, Wish


class Part(Component):
    """A component, what it was asked for and what it said."""

    _esm = "export function render() {}"

    def __init__(self, **params: Any) -> None:
        super().__init__(self._hear, **params)
        self.asked: list[Wish] = []
        self.said: list[dict[str, Any]] = []

    def _hear(self, wish: Wish) -> Reply:
        self.asked.append(wish)
        if wish["do"] == "fail":
            raise ZeroDivisionError
        return {"file": wish["value"]} if wish["do"] == "save" else None

    def _send_msg(self, data: Any) -> None:
        self.said.append(data)


def test_wishes_are_carried_out_in_their_order_and_answered_once_with_what_they_give() -> None:
    part = Part()
    wishes = [{"do": "save", "value": "a"}, {"do": "show", "focus": "1/1"}]
    part._handle_msg({"number": 3, "wishes": wishes})
    assert part.asked == wishes
    assert part.said == [{"answered": 3, "file": "a"}]


def test_a_wish_that_fails_is_answered_too() -> None:
    part = Part()
    with pytest.raises(ZeroDivisionError):
        part._handle_msg({"number": 7, "wishes": [{"do": "save", "value": "a"}, {"do": "fail"}]})
    assert part.said == [{"answered": 7, "file": "a"}]


def test_what_fails_after_the_wishes_is_answered_too() -> None:
    @contextmanager
    def together() -> Iterator[None]:
        yield
        raise ZeroDivisionError

    part = Part(together=together)
    with pytest.raises(ZeroDivisionError):
        part._handle_msg({"number": 7, "wishes": []})
    assert part.said == [{"answered": 7}]


@pytest.mark.parametrize(
    "wishes",
    [
        None,
        {},
        "undo",
        3,
        [{"do": "undo"}] * (MOST_WISHES + 1),
        [3],
        [{}],
        [{"do": ["undo"]}],
        [{"act": "undo"}],
    ],
    ids=lambda value: str(value)[:16],
)
def test_what_no_script_says_is_a_wish_for_nothing_and_is_answered(wishes: Any) -> None:
    part = Part()
    part._handle_msg({"number": 1, "wishes": wishes})
    assert part.asked == [{"do": ""}]
    assert part.said == [{"answered": 1}]


@pytest.mark.parametrize("number", [None, "x", 1.5, []])
def test_a_number_that_is_none_is_answered_with_0(number: Any) -> None:
    part = Part()
    part._handle_msg({"number": number, "wishes": []})
    assert part.said == [{"answered": 0}]


@pytest.mark.parametrize("message", [None, [], "undo", 3])
def test_what_is_no_message_is_answered_with_nothing(message: Any) -> None:
    part = Part()
    part._handle_msg(message)
    assert (part.asked, part.said) == ([], [])


def test_what_nobody_asked_for_bears_no_number() -> None:
    part = Part()
    part.tell({"unread": True})
    assert part.said == [{"unread": True}]


def test_no_script_sends_more_wishes_at_once_than_are_taken() -> None:
    script = (STATIC / "shared" / "outbox.js").read_text(encoding="utf-8")
    assert f"const MOST_WISHES = {MOST_WISHES} " in script


def test_every_script_speaks_through_its_outbox_alone() -> None:
    speaking = {
        path.relative_to(STATIC).as_posix()
        for path in STATIC.rglob("*.js")
        if "send_msg" in path.read_text(encoding="utf-8")
    }
    assert speaking == {"shared/outbox.js"}

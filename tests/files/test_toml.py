"""TOML that nobody has looked at is read within bounds, or refused with what to do about it."""

from __future__ import annotations

import re
import time

import pytest

from pvsim.files.extent import DEEPEST
from pvsim.files.toml import Slip, read_toml

DEEP = {
    "lists": "x = 1\na = " + "[" * 5000 + "]" * 5000,
    "inline tables": "x = 1\na = " + "{a = " * 3000 + "1" + "}" * 3000,
    "a dotted key": "x = 1\na" + ".a" * 50_000 + " = 1",
    "a key dotted with quotes": "x = 1\n" + '"a" . ' * 50_000 + "a = 1",
    "a table's name": "x = 1\n[" + "a." * 50_000 + "a]",
    "a key within braces": "x = 1\na = {" + "a." * 50_000 + "a = 1}",
    "keys within braces, each short": "x = 1\na = " + "{a.a.a.a.a = " * 50 + "1" + "}" * 50,
}
OVERLONG = ["9" * 5000, "9" * 400, "-" + "9" * 400, "0x" + "f" * 5000]


@pytest.mark.parametrize("text", DEEP.values(), ids=DEEP)
def test_what_is_nested_too_deeply_is_refused_at_once(text: str) -> None:
    begin = time.monotonic()
    found = read_toml(text)
    assert time.monotonic() - begin < 2.0  # left to the parser, a dotted key takes minutes
    assert isinstance(found, Slip)
    assert "too deeply" in found.wrong


@pytest.mark.parametrize("number", OVERLONG, ids=[f"{one[:3]}, {len(one)} long" for one in OVERLONG])
def test_whole_numbers_that_no_float_holds_are_refused(number: str) -> None:
    found = read_toml(f"a = [{{ b = {number} }}]")
    assert isinstance(found, Slip)
    assert "digits" in found.wrong


def test_a_dotted_line_in_a_text_is_no_key() -> None:
    dots = "." * 500 + " " + ". " * 500
    sentence = "Read the label. " * 200
    assert read_toml(f'a = """\n{dots}\n{sentence}"""') == {"a": f"{dots}\n{sentence}"}


def test_values_may_be_as_deep_as_the_bound() -> None:
    values = read_toml("a = " + "[" * (DEEPEST - 2) + "1" + "]" * (DEEPEST - 2))
    assert isinstance(values, dict)


@pytest.mark.parametrize(
    ("text", "line", "wrong"),
    [
        ('a = 1\ntitle = "A kite\nb = 2\n', 2, "a text is not closed on its line"),
        ("a = [1,\n2\n\n", 2, r"a \[ is not closed"),
        ("a = 1\n[step]\n[[step]]\n", 3, r"\[\[step\]\] stands there a second time"),
    ],
    ids=["quote", "end", "brackets"],
)
def test_a_slip_has_its_line_and_says_what_it_is(text: str, line: int, wrong: str) -> None:
    found = read_toml(text)
    assert isinstance(found, Slip)
    assert found.line == line
    assert re.search(wrong, found.wrong)

"""Seeded spoiling of valid texts, values and bytes; the same seed spoils the same way on every machine."""

from __future__ import annotations

import copy
import json
import re
from collections.abc import Iterator
from random import Random
from typing import Any

LONGEST = 60_000  # characters; longer texts have tests of their own

NUMBERS = (
    *("0", "-0.0", "-1", "1", "2", "0.5", "1.0000001", "-5", "60", "61", "200", "201", "1000", "100001"),
    *("1e-30", "1e-300", "1e9", "1e12", "1e300", "1e308", "-1e308", "1e400", "5e-324", "9" * 40, "9" * 400),
    *("nan", "inf", "-inf", "Infinity", "NaN", "0x7fffffff", "2147483648", "9223372036854775808", "1_000"),
    *("1,5", "1.", ".5", "٣", "½", "1e", "--1", "+0"),
)
WORDS = (
    *("", " ", "true", "false", "null", '""', '"', "'", '"""', "'''"),
    *("[", "]", "[[", "]]", "{", "}", "{{", "}}"),
    *("=", ",", ".", "#", "##", "###", "+++", "```", "````aside", "```figure", "```aside installer", "~~~~"),
    *("\n", "\r", "\t", "\x00", "\x0b", "\x1c", "\x85", "\u2028", "\u202e", "\ud800", "\ufeff", "\U0001f600"),
    *("array", "1/1/1", "2/9", "1/1/d1", "1/1/s1", "999/999/999", "mpp", "every cell", "cell", "turned"),
    *("now[array].power_W", "delta[1/1].p_mp_W", "before[hottest].temperature_K"),
    *("|", "W 0", "%", "and", "<="),
    *("../../etc/passwd", "con", "a" * 300, "a-" * 200, "x.y.z." * 40, "\\", "\\u0000", "\\x", "=cmd()"),
)
_PART = re.compile(r"[-+]?\d+(?:\.\d+)?(?:e[-+]?\d+)?|\w+|[^\w\s]|\s+")


def spoil_text(text: str, chance: Random) -> str:
    """A text with one to four things wrong with it."""
    for _ in range(chance.choice((1, 1, 1, 2, 2, 4))):
        text = chance.choice(_WAYS)(text, chance)
    return text[:LONGEST]


def _number(text: str, chance: Random) -> str:
    found = list(re.finditer(r"[-+]?\d+(?:\.\d+)?(?:e[-+]?\d+)?", text))
    return _put(text, chance.choice(found).span(), chance.choice(NUMBERS)) if found else text


def _word(text: str, chance: Random) -> str:
    found = list(_PART.finditer(text))
    if not found:
        return chance.choice(WORDS)
    other = chance.choice(found)[0]
    return _put(text, chance.choice(found).span(), chance.choice((other, chance.choice(WORDS))))


def _insert(text: str, chance: Random) -> str:
    at = chance.randint(0, len(text))
    new = (chance.choice(WORDS), chance.choice(NUMBERS), chr(chance.randrange(0x300)))
    return _put(text, (at, at), chance.choice(new))


def _delete(text: str, chance: Random) -> str:
    start = chance.randint(0, len(text))
    return _put(text, (start, start + chance.choice((1, 1, 2, 5, 20, 100, 1000))), "")


def _repeat(text: str, chance: Random) -> str:
    start = chance.randint(0, len(text))
    end = start + chance.choice((1, 3, 10, 40, 200))
    return _put(text, (end, end), text[start:end] * chance.choice((1, 2, 5, 50, 700)))


def _swap_lines(text: str, chance: Random) -> str:
    lines = text.split("\n")
    a, b = chance.randrange(len(lines)), chance.randrange(len(lines))
    lines[a], lines[b] = lines[b], lines[a]
    return "\n".join(lines)


def _line(text: str, chance: Random) -> str:
    lines = text.split("\n")
    at, several = chance.randrange(len(lines)), chance.choice((0, 2, 3, 30, 1500))
    lines[at : at + 1] = [lines[at]] * several
    return "\n".join(lines)


def _cut(text: str, chance: Random) -> str:
    return text[: chance.randint(0, len(text))]


def _put(text: str, span: tuple[int, int], new: str) -> str:
    return text[: span[0]] + new + text[span[1] :]


_WAYS = (_number, _number, _number, _word, _word, _insert, _delete, _repeat, _swap_lines, _line, _cut)


def spoil_json(text: str, chance: Random) -> str:
    """A JSON text whose values are not what they were; now and then it is none any more."""
    if chance.random() < 0.3:
        return spoil_text(text, chance)
    values = json.loads(text)
    for _ in range(chance.choice((1, 1, 2, 3))):
        values = spoil_values(values, chance)
    return json.dumps(values, ensure_ascii=False)


def spoil_values(values: Any, chance: Random) -> Any:
    """Nested tables and lists with one place of them changed, gone or doubled."""
    path = chance.choice(list(_places(values)))
    new = _odd(chance)
    if not path:
        return new
    values = copy.deepcopy(values)
    inner = values
    for key in path[:-1]:
        inner = inner[key]
    way = chance.random()
    if way < 0.6:
        inner[path[-1]] = new
    elif way < 0.75:
        del inner[path[-1]]
    elif isinstance(inner, dict):
        inner[chance.choice((*WORDS, "x"))] = new
    else:
        inner.extend([inner[path[-1]]] * chance.choice((1, 3, 100)))
    return values


def _places(value: Any, path: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    yield path
    if isinstance(value, dict | list):
        for key, below in value.items() if isinstance(value, dict) else enumerate(value):
            yield from _places(below, (*path, key))


def _odd(chance: Random) -> Any:
    kinds = (
        lambda: chance.choice((None, True, False, [], {}, "")),
        lambda: chance.choice((0, -1, 1, 2, 61, 2**31, 2**63, 10**400)),
        lambda: chance.choice((1e300, -1e308, float("inf"), float("nan"))),
        lambda: chance.uniform(-10, 100),
        lambda: chance.choice(WORDS),
        lambda: [_odd(chance) for _ in range(chance.randrange(4))],
        lambda: {chance.choice(WORDS): _odd(chance) for _ in range(chance.randrange(3))},
    )
    return chance.choice(kinds)()


def spoil_bytes(data: bytes, chance: Random) -> bytes:
    """Bytes with some of them changed, gone or in another place."""
    found = bytearray(data)
    for _ in range(chance.choice((1, 2, 5, 30))):
        at = chance.randrange(max(1, len(found)))
        way = chance.randrange(4)
        if way == 0:
            found[at : at + 1] = bytes((chance.randrange(256),))
        elif way == 1:
            found[at : at + chance.choice((1, 4, 100))] = b""
        elif way == 2:
            size = chance.choice((1, 8, 64, 512))
            found[at : at + size] = chance.randbytes(size)
        else:
            other = chance.randrange(max(1, len(found)))
            found[at : at + 32] = found[other : other + 32]
    return bytes(found)

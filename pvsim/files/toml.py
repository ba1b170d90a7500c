"""Reads TOML that nobody has looked at, and says in plain words why a text is none."""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass
from itertools import islice
from typing import Any

from pvsim.files.extent import WIDEST, is_too_deep, is_too_wide, levels

__all__ = ["KEY", "KEYS", "LONGEST_KEY", "Slip", "read_toml", "shown"]

MAX_NAME_LENGTH = 80
_END = 40  # signs of a long text that stay at its end
LARGEST = 10**300  # of a whole number; the next ones fit no float
LONGEST_KEY = 300  # characters of a line that are looked at
MOST_PARTS = 12  # of a dotted key; the longest that any file of ours needs has four
MOST_DOTTED = 2_000  # keys of three parts and more; a lesson has some dozens
MOST_SIGNS = 120_000  # that begin a key, a value or a table; a list may have 100,000 entries
MOST_LINES = 120_000

_ONE_KEY = r"""(?:[A-Za-z0-9_-]+|"[^"\n]*"|'[^'\n]*')"""
KEYS = rf"{_ONE_KEY}(?:\s*\.\s*{_ONE_KEY})*"
# As text: it is compiled when a line is looked for, which most files never need.
KEY = rf"({KEYS})\s*="
_AT_LINE = r"\(at (?:line (\d+), column (\d+)|end of document)\)"
# Python's parser takes the square of a dotted key's length: minutes, for a short file. These searches
# never go back, whatever they look at.
_LINK = rf"(?:{_ONE_KEY}[ \t]*+\.[ \t]*+)"
_CHAIN = rf"(?<![\w\"'.-]){_LINK}{{{MOST_PARTS}}}+"
_DOTTED = rf"(?<![\w\"'.-]){_LINK}{{2,}}+"
_QUOTED = (  # texts and comments, closed or not: what stands in them is no key and no value of its own
    r'"""(?:[^"\\]|\\[\s\S]|"(?!""))*+(?:"""|\Z)?'
    r"|'''(?:[^']|'(?!''))*+(?:'''|\Z)?"
    r'|"(?:[^"\\\n]|\\.)*+"?'
    r"|'[^'\n]*+'?"
    r"|\#[^\n]*+"
)

_NUMBER = r"[-+]?\d+(?:\.\d+)?"
_SLIPS = (  # what the line looks like, what is wrong with it, how to mend it
    (r"=\s*([-+]?\d+),(\d+)\s*(?:[,}\]#]|$)", "a number has a comma", "Write decimals with a point: {0}.{1}"),
    (rf"=\s*{_NUMBER}\s*[^\s\d.,\]}}#_:eExob-]", "a number has a unit", "Write the number alone"),
    (rf"=\s*{_NUMBER}\s+\d", "a number has a space in it", "Write its digits without spaces"),
    (r"=\s*(True|False|TRUE|FALSE)\b", "a truth has capitals", "Write true or false in small letters"),
    (
        r"=\s*(?!(?:true|false|nan|inf)\b)([A-Za-z][\w-]*)\s*(?:[,}\]#]|$)",
        "a text has no quotes",
        'Put it between quotes: "{0}"',
    ),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Slip:
    """Why a text is no TOML, or none that is read.

    Parameters
    ----------
    line, column : int
        Counted from 1; 0 where the whole text is meant.
    wrong, expected, mend : str
        As in every error of pvsim.
    """

    line: int = 0
    column: int = 0
    wrong: str
    expected: str
    mend: str


def read_toml(text: str) -> dict[str, Any] | Slip:
    """Parse a TOML text of bounded length.

    Parameters
    ----------
    text : str
        It is not trusted.

    Returns
    -------
    dict or Slip
        Values at most `DEEPEST` deep and `WIDEST` wide, without whole numbers that fit no float.
    """
    refused = _too_much(text)
    if refused is not None:
        return refused
    try:
        values = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        return _slip(text, str(error))
    except ValueError:  # a whole number with more digits than Python converts
        return _too_long()
    except RecursionError:
        return _too_deep()
    return _bounded(values)


def shown(text: object) -> str:
    """Give a foreign text one short printable line, for use inside a message.

    Of a long one both ends stay: a path ends with the name that tells which file it is.
    """
    whole = str(text)
    if len(whole) > MAX_NAME_LENGTH:
        whole = f"{whole[: MAX_NAME_LENGTH - _END - 3]}...{whole[-_END:]}"
    return "".join(c if c.isprintable() else " " for c in whole)


def _bounded(values: dict[str, Any]) -> dict[str, Any] | Slip:
    """The values, if whoever goes through them neither runs out of stack nor overflows."""
    if is_too_deep(values):
        return _too_deep()
    if is_too_wide(values):
        return _too_many(f"a table has more than {WIDEST:,} keys", f"at most {WIDEST:,} in one table")
    whole = (one for level in levels(values) for one in level if isinstance(one, int))
    return _too_long() if any(abs(one) > LARGEST for one in whole) else values


def _too_much(text: str) -> Slip | None:
    """Why the parser is not to begin with a text: it takes its time with every key and value."""
    if text.count("\n") > MOST_LINES:
        return _too_many("it has too many lines", f"at most {MOST_LINES:,}")
    if _signs(text) <= MOST_SIGNS and re.search(_CHAIN, text) is None and not _has_many_dotted(text):
        return None
    bare = re.sub(_QUOTED, _blank, text)
    chain = re.search(_CHAIN, bare)
    if chain is not None:
        return _too_deep(bare.count("\n", 0, chain.start()) + 1)
    if _has_many_dotted(bare):
        return _too_many("it has too many dotted keys", f"at most {MOST_DOTTED:,} of three parts or more")
    if _signs(bare) > MOST_SIGNS:
        return _too_many("it has too many keys and values", f"at most {MOST_SIGNS:,}")
    return None


def _signs(text: str) -> int:
    """How many keys, values and tables a text can have at most."""
    return sum(text.count(sign) for sign in "=,[{")


def _has_many_dotted(text: str) -> bool:
    return next(islice(re.finditer(_DOTTED, text), MOST_DOTTED, None), None) is not None


def _blank(found: re.Match[str]) -> str:
    """A word in place of a text or comment, with its lines."""
    return "-" * (found[0][0] != "#") + "\n" * found[0].count("\n")


def _too_many(wrong: str, expected: str) -> Slip:
    return Slip(
        wrong=wrong,
        expected=expected,
        mend="Check that it is the right file; leave out what nothing in it uses",
    )


def _too_deep(line: int = 0) -> Slip:
    return Slip(
        line=line,
        wrong="it is nested too deeply",
        expected="at most a few dozen brackets inside one another",
        mend="Write the parts as tables of their own",
    )


def _too_long() -> Slip:
    return Slip(
        wrong="it holds a whole number with hundreds of digits",
        expected="numbers of a usual length",
        mend="Shorten the number",
    )


def _slip(text: str, said: str) -> Slip:
    """What a parser complains of; slips that people often make are named."""
    lines = text.rstrip().split("\n")
    found = re.search(_AT_LINE, said)
    reason = re.sub(_AT_LINE, "", said).strip()
    inside = found is not None and found[1] is not None
    number, column = (int(found[1]), int(found[2])) if found and found[1] else (len(lines), 0)
    line = text.split("\n")[number - 1].strip() if inside else ""
    if re.search("overwrite|twice|more than once", reason):
        key = re.match(KEY, line)
        several = " If there may be several, write each as [[name]]" if line.startswith("[") else ""
        return Slip(
            line=number,
            column=column,
            wrong=f"{shown(key[1] if key else line)} stands there a second time",
            expected="each key and each table once",
            mend="Take one of the two out" + (f".{several}" if several else ""),
        )
    slips = () if reason.startswith("Unclosed") else _SLIPS  # then the next key is no unit
    for pattern, wrong, mend in slips:
        slip = re.search(pattern, line[:LONGEST_KEY])
        if slip:
            return Slip(
                line=number,
                column=column,
                wrong=wrong,
                expected='lines such as: key = 1.5, key = "text" or key = true',
                mend=mend.format(*(shown(group) for group in slip.groups())),
            )
    from pvsim.files.toml_hint import toml_hint  # only when it is no slip of a value

    reason, mend = toml_hint(line, shown(reason))
    return Slip(
        line=number,
        column=column,
        wrong=f"this is not TOML ({reason})",
        expected='lines such as: key = 1.5, key = "text" or [table]',
        mend=mend,
    )

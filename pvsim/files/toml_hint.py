"""What to say of a line that TOML does not allow, beyond the slips of values in `source`: in plain words."""

from __future__ import annotations

import re

_REASONS = {
    "Invalid value": "the value is none that TOML knows",
    "Expected newline or end of document after a statement": "something stands behind the value",
    "Expected '=' after a key in a key/value pair": "no equals sign stands behind the key",
    "Unclosed inline table": "a { is not closed, or a comma is missing",
    "Unclosed array": "a [ is not closed, or a comma is missing",
    'Expected "\'"': "a text in '...' is not closed",
    "Unterminated string": "a text is not closed",
    r"Illegal character '\n'": "a text is not closed on its line",
    r"Illegal character '\r'": "a text is not closed on its line",
    "Invalid initial character for a key part": "no key begins like this",
    "Expected ']' at the end of a table declaration": "a [table] is not closed",
    "Expected ']]' at the end of an array declaration": "a [[table]] is not closed",
}
_USUAL = "Look for a missing quote, bracket or equals sign there or on the line before"

# By the line, or by what stands behind its first equals sign; the first that fits is said.
_LINES = (
    (r"[\u2018\u2019\u201c\u201d\u201e\u00ab\u00bb]", 'Write straight quotes: "text"'),
    (r"=\s*[-+]?\d{1,3}(,\d{3})+\.\d", "Write the number without marks between thousands, such as 1000.5"),
    (r"^[^=\"']*[A-Za-z0-9_-]\s*:", "Write an equals sign between key and value: key = 1.5"),
    (r"^\s*[A-Za-z0-9_-]+ +[A-Za-z0-9_-]+[^=\"']*=", "Write a key as one word, with _ in place of spaces"),
    (r"^\s*\[[^]=]*$", "Close the table's name with ]"),
)
_VALUES = (
    (r"$", "Write a value behind the equals sign"),
    (r"[\u2212\u2013\u2014]\s*\d", "Write the minus as -, the sign beside the zero"),
    (r"(true|false|yes|no|on|off)\b", "Write true or false, in small letters and without quotes"),
    (r"[-+]?\.\d", "Write a digit before the point: 0.5"),
    (r"[-+]?\d+\.(\s|$)", "Write a digit behind the point: 5.0"),
    (r"[-+]?0\d", "Take the zero out that the number begins with"),
    (r"[-+]?[\d.]+\s*,\s*$", "Take the comma at the end of the line out"),
)


def toml_hint(line: str, reason: str) -> tuple[str, str]:
    """Say a parser's complaint about a line as one would to a person.

    Parameters
    ----------
    line : str
        The line it is about; empty when it is about the end of the text.
    reason : str
        What the parser says, without the place.

    Returns
    -------
    reason, mend : str
        In plain words; the parser's own where none are known.
    """
    said = _REASONS.get(reason, reason)
    line = line.split("#")[0][:300].rstrip()
    for pattern, mend in _LINES:
        if re.search(pattern, line):
            return said, mend
    _, equals, value = line.partition("=")
    if equals and reason != "Unclosed inline table":
        for pattern, mend in _VALUES:
            if re.match(pattern, value.strip(), re.IGNORECASE):
                return said, mend
    if reason.startswith("Unclosed"):
        return said, "Put a comma between entries, and close what was opened"
    return said, _USUAL

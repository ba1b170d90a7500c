"""JSON that nobody has looked at."""

from __future__ import annotations

import pytest

from pvsim.errors import FileError
from pvsim.files.json_text import is_json, parse_json
from pvsim.files.source import Source


def parse(text):
    return parse_json(Source(name="x.json", text=text), "sheet", deepest=6, flatter="Write it flatter")


def test_an_object_is_read_and_told_from_toml_by_its_first_sign():
    assert parse(' {"a": [1, 2.5, "b"], "c": {}}') == {"a": [1, 2.5, "b"], "c": {}}
    assert is_json("\ufeff\n {")
    assert not is_json("a = {}")


@pytest.mark.parametrize(
    ("text", "says"),
    [
        pytest.param('{"a": NaN}', "holds what no sheet needs", id="nan"),
        pytest.param('{"a": -Infinity}', "holds what no sheet needs", id="infinity"),
        pytest.param('{"a": 1, "a": 2}', "twice", id="a-key-twice"),
        pytest.param('{"a": ' + "9" * 5_000 + "}", "holds what no sheet needs", id="endless-number"),
        pytest.param('{"a": ' + "[" * 300 + "]" * 300 + "}", "Write it flatter", id="deep"),
        pytest.param("{" + ", ".join(f'"{k}": 0' for k in range(2_000)) + "}", "too many keys", id="wide"),
        pytest.param('{"a": 1', "line 1, column 8 is not JSON", id="open"),
        pytest.param('{"a": ' + "[" * 100_000, "nested too deeply", id="bottomless"),
        pytest.param("{" + " " * 2_000_001, "too many characters", id="long"),
    ],
)
def test_what_no_honest_file_holds_is_refused(text, says):
    with pytest.raises(FileError, match=says):
        parse(text)

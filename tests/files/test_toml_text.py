"""The TOML writer: any plain values read back equal with the standard library's parser."""

from __future__ import annotations

import tomllib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pvsim.errors import FileError
from pvsim.files.toml_text import WIDTH, write_toml

texts = st.text(st.characters(exclude_categories=["Cs"]), max_size=30)
plain = st.one_of(
    texts, st.booleans(), st.integers(-(2**63), 2**63 - 1), st.floats(allow_nan=False), st.just(float("inf"))
)
values = st.recursive(
    plain,
    lambda inner: st.lists(inner, max_size=5) | st.dictionaries(texts, inner, max_size=4),
    max_leaves=25,
)


@given(st.dictionaries(texts, values, max_size=6))
def test_values_read_back_equal(document):
    assert tomllib.loads(write_toml(document)) == document


def test_long_lists_are_wrapped_and_tables_set_apart():
    text = write_toml(
        {"a": list(range(100)), "b": {"c": 1.5, "d": [{"e": "x" * 90}]}}, comment="First\nSecond"
    )
    assert text.startswith("# First\n# Second\na = [\n    0, 1, 2,")
    assert "\n\n[b]\nc = 1.5\n\n[[b.d]]\n" in text
    assert max(map(len, text.splitlines())) <= WIDTH


def test_half_a_character_is_refused():
    with pytest.raises(FileError, match="half a character"):
        write_toml({"a": "\udc00"})

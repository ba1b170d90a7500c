"""Files that come with pvsim, asked for by name."""

from __future__ import annotations

import pytest

from pvsim.errors import FileError
from pvsim.files.shipped_file import names_on, refuse_name, take


def test_names_are_sorted_and_only_those_of_the_folder_are_given(tmp_path):
    for name in ("b.toml", "a.toml", "c.md"):
        (tmp_path / name).write_text(f"# {name}", encoding="utf-8")
    assert names_on(tmp_path) == ("a", "b")
    assert take(tmp_path, "b", "study").text == "# b.toml"
    for name in ("c", "../b", "", "b.toml"):
        with pytest.raises(FileError, match="no study called"):
            take(tmp_path, name, "study")


def test_a_word_that_is_nothing_says_what_could_have_stood_there():
    error = refuse_name("brailing", "scenario", ("railing", "workshop"), "a link, or ")
    assert "a file, a link, or one of railing, workshop" in str(error)
    assert "Did you mean 'railing'?" in str(error)

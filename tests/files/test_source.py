"""Files and streams are read as far as an honest one may be long, and no further."""

from __future__ import annotations

import io
import os
import tracemalloc

import pytest

from pvsim.errors import FileError
from pvsim.files.source import MAX_BYTES, MAX_TEXT_LENGTH, read_source, read_stream


def test_a_huge_file_is_refused_without_being_read_whole(tmp_path):
    huge = tmp_path / "huge.toml"
    with open(huge, "wb") as file:
        file.truncate(2_000_000_000)
    tracemalloc.start()
    try:
        with pytest.raises(FileError, match=r"too many characters.*at most 2,000,000"):
            read_source(huge)
        assert tracemalloc.get_traced_memory()[1] < 4 * MAX_BYTES
    finally:
        tracemalloc.stop()


def test_a_text_may_be_as_long_as_the_bound_and_not_a_character_longer(tmp_path):
    file = tmp_path / "long.toml"
    file.write_text("é" * MAX_TEXT_LENGTH, encoding="utf-8")
    assert len(read_source(file).text) == MAX_TEXT_LENGTH
    file.write_text("é" * (MAX_TEXT_LENGTH + 1), encoding="utf-8")
    with pytest.raises(FileError, match="too many characters"):
        read_source(file)
    with pytest.raises(FileError, match="too many characters"):
        read_stream(io.BytesIO(file.read_bytes()), "the standard input")


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="this system has no named pipes")
def test_a_pipe_a_device_and_a_folder_are_no_files(tmp_path):
    os.mkfifo(tmp_path / "pipe")
    odd = {tmp_path / "pipe": "no ordinary file", "/dev/zero": "no ordinary file", tmp_path: "a folder"}
    for path, says in odd.items():
        with pytest.raises(FileError, match=f"is {says}; expected a text file"):
            read_source(path)


@pytest.mark.parametrize("mark", ["\n", "\r\n", "\r"])
def test_every_kind_of_line_end_counts_as_one(tmp_path, mark):
    file = tmp_path / "lines.toml"
    file.write_bytes("\ufeff".encode() + mark.join(("a", "b", "c")).encode())
    assert read_source(file).text == "a\nb\nc"


def test_what_is_no_text_is_refused_under_the_name_it_is_given(tmp_path):
    (tmp_path / "shed.toml").write_bytes(b"\xff\xfe\x00")
    with pytest.raises(FileError, match=r"^the scenario is not text"):
        read_source(tmp_path / "shed.toml", "the scenario")
    with pytest.raises(FileError, match=r"^the standard input is not text"):
        read_stream(io.BytesIO(b"\xff"), "the standard input")

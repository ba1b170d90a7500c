"""Static files bear a mark of what they say, from which a browser knows when to fetch them anew."""

from __future__ import annotations

import pytest

pytest.importorskip("panel", reason="the page needs the extra pvsim[page]")

from pvsim.app import assets
from pvsim.app.assets import fingerprint, mark_of, read_static


def test_a_mark_changes_with_what_files_say_and_are_called_and_with_nothing_else() -> None:
    files = {"a.css": b"one", "b.css": b"two"}
    marks = {
        mark_of(files),
        mark_of({"b.css": b"two", "a.css": b"one"}),  # in whatever order they were found
    }
    assert len(marks) == 1
    others = (
        {"a.css": b"one", "b.css": b"two!"},
        {"a.css": b"one", "c.css": b"two"},
        {"a.css": b"two", "b.css": b"one"},
        {"a.css": b"onetwo", "b.css": b""},
        {"a.css": b"one"},
    )
    assert len(marks | {mark_of(one) for one in others}) == 1 + len(others)


def test_all_static_files_have_one_mark_and_scripts_one_of_their_own(tmp_path, monkeypatch) -> None:
    (tmp_path / "shared").mkdir()
    (tmp_path / "theme.css").write_text("a")
    (tmp_path / "shared" / "dom.js").write_text("b")
    monkeypatch.setattr(assets, "STATIC", tmp_path)
    assert read_static("*.js") == {"shared/dom.js": b"b"}
    before, scripts = fingerprint.__wrapped__(), mark_of(read_static("*.js"))
    (tmp_path / "theme.css").rename(tmp_path / "colours.css")
    assert fingerprint.__wrapped__() != before
    assert mark_of(read_static("*.js")) == scripts

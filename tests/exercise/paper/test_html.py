"""One HTML file that stands alone and can be trusted with any name."""

from __future__ import annotations

import re
from html.parser import HTMLParser

import pytest

from pvsim.exercise import ExerciseCase, own_exercises
from pvsim.exercise.paper import parts_of_case, solution_sheet, work_sheet, write_html
from pvsim.words import speaking

MALICE = "<script>alert(1)</script>"


@pytest.fixture(scope="module")
def pages():
    with speaking("de"):
        parts = parts_of_case(own_exercises("diode", "de"), ExerciseCase(seed=5))
        makers = (work_sheet, solution_sheet)
        return [
            write_html(make(parts, title="Diode", language="de", who=MALICE, case="5")) for make in makers
        ]


class Tags(HTMLParser):
    def __init__(self, text):
        super().__init__()
        self.seen, self.open, self.addresses = set(), [], []
        self.feed(text)

    def handle_starttag(self, tag, attrs):
        self.seen.add(tag)
        self.addresses += [value for name, value in attrs if name in ("src", "href", "xlink:href")]
        if tag not in ("meta", "col", "br", "hr"):
            self.open.append(tag)

    def handle_endtag(self, tag):
        assert self.open.pop() == tag


def test_nothing_is_fetched_and_nothing_runs(pages):
    for text in pages:
        tags = Tags(text)
        assert tags.open == []
        assert tags.addresses == []
        assert tags.seen & {"script", "img", "link", "iframe", "object"} == set()
        assert set(re.findall(r"url\(\"(data:font/woff);", text)) == {"data:font/woff"}
        assert "url(" not in re.sub(r"url\(\"data:", "", text)


def test_a_name_is_text(pages):
    for text in pages:
        assert MALICE not in text
        assert "&lt;script&gt;alert(1)" in text


def test_it_prints_on_a4_and_keeps_figures_and_tables_whole(pages):
    for text in pages:
        assert "@page { size: A4;" in text
        assert "break-inside: avoid" in text
        assert '<html lang="de">' in text
        assert len(text) < 400_000


def test_drawings_say_what_they_show(pages):
    sheet, solution = pages
    assert sheet.count('role="img"') == solution.count('role="img"') - 2 == 6  # and the crossed boxes
    assert "U<sub>oc</sub>" in sheet

"""The typeface of paper has every sign that lessons and words of pvsim have, and is the page's own."""

from __future__ import annotations

import re

import pytest
from fontTools.ttLib import TTFont
from PIL import ImageFont

from pvsim.course.folder.course_reader import OWN_LESSONS
from pvsim.files.demo import demo_names, read_demo
from pvsim.files.face import face_file
from pvsim.shipped import shipped
from pvsim.words import LOCALE

PAGE_ONLY = set("↗✗℃─│├└")  # arrows of links, marks of searches, a sign that people type


@pytest.mark.parametrize("bold", [False, True])
def test_every_sign_of_lessons_and_catalogues_is_there(bold):
    with TTFont(face_file(bold=bold)) as face:
        letters = face.getBestCmap()
    written = "".join(path.read_text(encoding="utf-8") for path in OWN_LESSONS.rglob("*.md"))
    written += "".join(path.read_text(encoding="utf-8") for path in OWN_LESSONS.rglob("*.toml"))
    for path in LOCALE.rglob("*.po"):
        written += "".join(re.findall(r'"(.*)"', path.read_text(encoding="utf-8")))
    written += "".join(read_demo(name).title for name in demo_names())
    lacking = {one for one in written if ord(one) >= 32 and ord(one) not in letters}
    assert lacking <= PAGE_ONLY


def test_it_is_as_wide_as_the_typeface_of_the_page():
    page = ImageFont.truetype(str(shipped("static") / "fonts" / "next-latin.woff2"), 1000)
    paper = ImageFont.truetype(str(face_file()), 1000)
    for letter in "AaÄäßW0123456789−²°±€“”":
        assert paper.getlength(letter) == page.getlength(letter)


def test_both_are_small():
    assert all(face_file(bold=bold).stat().st_size < 25_000 for bold in (False, True))

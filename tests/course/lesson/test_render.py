"""Lesson text becomes HTML with computed numbers, and nothing hostile gets through."""

from __future__ import annotations

import re
from dataclasses import replace
from html.parser import HTMLParser
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

pytest.importorskip("markdown_it", reason="lesson text is shown by the extra pvsim[page]")

from pvsim.array import paint, parse_place, set_light
from pvsim.course.lesson.audience import ANYBODY, Audience
from pvsim.course.lesson.glossary import Term
from pvsim.course.lesson.render import render, render_line, render_words
from pvsim.course.lesson.track import Track
from pvsim.course.number.evaluation import Readings
from pvsim.course.number.solved_scenario import solved
from pvsim.course.text.figure import read_figure
from pvsim.errors import PvsimError
from pvsim.words import speaking
from tests.course.samples import find

ALLOWED = {
    "p", "em", "strong", "ul", "ol", "li", "code", "pre", "blockquote", "a", "br", "hr", "sub", "data",
    "table", "thead", "tbody", "tr", "th", "td", "figure", "figcaption", "svg", "path", "text", "polyline",
    "circle", "rect", "h1", "h2", "h3", "h4", "h5", "h6", "details", "summary", "button", "span",
}  # fmt: skip
ATTRIBUTES = {
    "class", "href", "target", "rel", "start", "style", "viewbox", "role", "aria-label", "d", "x", "y",
    "text-anchor", "points", "cx", "cy", "r", "width", "height", "title",
    "data-track", "open", "type", "data-term",
}  # fmt: skip


READER = Audience(
    tracks=(Track(id="roof", title="Roof", lead="", aside="On <b>the</b> roof"),),
    glossary={"diode": Term(id="diode", term="diode", meaning="lets current pass one way", source="x")},
)


class Watch(HTMLParser):
    """Collects whatever should not be in the HTML."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag not in ALLOWED:
            self.found.append(tag)
        for name, value in attrs:
            if name not in ATTRIBUTES or name.startswith("on"):
                self.found.append(name)
            if name == "href" and not str(value).startswith(("http://", "https://")):
                self.found.append(str(value))
            if name == "style" and not re.fullmatch(r"text-align:(left|right|center)", str(value)):
                self.found.append(str(value))


def hostile_parts(html: str) -> list[str]:
    watch = Watch()
    watch.feed(html)
    watch.close()
    return watch.found


@pytest.fixture(scope="module")
def readings() -> Readings:
    clean = find("workshop")
    return Readings(solved(paint(clean, [parse_place("1/4/14")], 0.2)), solved(clean))


HOSTILE = [
    "<script>alert(1)</script>",
    "<img src=x onerror=alert(1)>",
    "[a](javascript:alert(1)) [b](JaVaScRiPt:alert(1)) [c](data:text/html,<script>1</script>)",
    "[a](java\nscript:alert(1)) [b](  javascript:alert(1)) [c](&#106;avascript:alert(1))",
    "![image](https://example.org/pixel.png)",
    '[x](https://example.org/" onmouseover="alert(1))',
    "<iframe src=//example.org></iframe>\n\n<style>*{display:none}</style>",
    "`<b onclick=x>` and ```<script>```",
    "{{ <script>alert(1)</script> }}",
    "{{ now[<img src=x>].power_W }}",
    "V~<b>~ and ~<script>~",
    "\ue0000\ue001 {\ue0005\ue001 {{1}}\ue001",
    '```figure\ncurrent = "1/4"\ncaption = "<img src=x onerror=alert(1)> [x](javascript:1)"\n```\n',
    '```figure\ncurrent = "\\"><script>alert(1)</script>"\ncaption = "x"\n```\n',
    "```html\n<script>alert(1)</script>\n```",
    "| a | b |\n|---|---|\n| <b>x</b> | [y](javascript:1) |",
    "[[<script>alert(1)</script>]] [[<img src=x onerror=alert(1)>|diode]] [[a|<b>]] [[*a* `<i>`|diode]]",
    '[[x" onclick="alert(1)|diode]] [[[[diode]]]] [[diode|diode|diode]] [[ \ue0000\ue001 |diode]]',
    "```aside roof\n<script>alert(1)</script> [x](javascript:1) [[diode]]\n```",
    '```aside roof" onclick="alert(1)\nx\n```\n\n```aside <script>\nx\n```',
    "````aside roof\n```aside roof\n<img src=x onerror=alert(1)>\n```\n````",
    "<!-- --> <![CDATA[ x ]]> <?php ?> &lt;script&gt; &#60;script&#62;",
]


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_text_is_shown_as_text(text: str, readings: Readings) -> None:
    for audience in (ANYBODY, READER):
        assert hostile_parts(render(text, readings, audience)) == []
        assert hostile_parts(render_line(text, readings, audience)) == []
        assert "<script" not in render(text, readings, audience)
    assert hostile_parts(render_words(text)) == []


@given(st.text(alphabet="<>\"'=/[](){}!`~|*_\\&#;:\n abjx1\ue000\ue001", max_size=80))
def test_no_text_whatever_makes_a_foreign_tag(text: str) -> None:
    cell = solved(find("single-cell"))
    here = Readings(cell, cell)
    assert hostile_parts(render(text, here)) == []
    assert hostile_parts(render(f"[[{text}|diode]]\n```aside roof\n{text}", here, READER)) == []


def test_numbers_are_filled_in_and_follow_the_scenario(readings: Readings) -> None:
    text = "It gives {{ now[array].power_W | kW 2 }}."
    dim = solved(set_light(find("workshop"), irradiance_W_m2=500.0))
    assert "kW</data>" in render(text, readings)
    assert render(text, readings) != render(text, Readings(dim, readings.before))


def test_a_number_with_a_bar_stands_in_a_table(readings: Readings) -> None:
    html = render("| a | b |\n|---|---|\n| {{ now[array].power_W | W 0 }} | 2 |", readings)
    assert html.count("<td>") == 2
    assert "W</data>" in html


def test_a_typed_quantity_is_never_torn_apart(readings: Readings) -> None:
    assert render("about 20 % of it", readings) == "<p>about 20\u202f% of it</p>\n"


def test_a_term_is_a_button_only_for_those_who_can_look_it_up(readings: Readings) -> None:
    assert render_line("a [[*good* diode|diode]]", readings) == "a <em>good</em> diode"
    html = render_line("a [[*good* diode|diode]] and a [[leaf]]", readings, READER)
    button = '<button class="term" type="button" data-term="diode"><em>good</em> diode</button>'
    assert html == f"a {button} and a leaf"


def test_a_mark_behind_a_term_stays_on_its_line(readings: Readings) -> None:
    button = '<button class="term" type="button" data-term="diode">diode</button>'
    html = render_line("(a [[diode]]), and [[diode]] once more", readings, READER)
    assert html == f'(a <span class="unbroken">{button}),</span> and {button} once more'
    assert render_line("a [[leaf]], and", readings, READER) == "a leaf, and"
    assert render_line("**a [[diode]].**", readings, READER).endswith(".</span></strong>")


def test_a_term_with_a_bar_stands_in_a_table(readings: Readings) -> None:
    html = render("| a | b |\n|---|---|\n| [[diodes|diode]] | 2 |", readings, READER)
    assert html.count("<td>") == 2
    assert 'data-term="diode"' in html


def test_an_aside_is_there_for_its_track_and_holds_numbers_terms_and_figures(readings: Readings) -> None:
    text = (
        "````aside roof\n{{ now[array].power_W | W 0 }} and a [[diode]].\n\n"
        '```figure\ncurrent = "1/4"\ncaption = "x"\n```\n````\nafter'
    )
    assert render(text, readings) == "<p>after</p>\n"
    html = render(text, readings, READER)
    assert html.startswith('<details class="aside" data-track="roof"><summary>On &lt;b&gt;the&lt;/b&gt; roof')
    for part in ("W</data>", 'data-term="diode"', "<figure>", "</details>\n<p>after</p>"):
        assert part in html
    assert "<details" not in render(text, readings, replace(READER, tracks=()))
    assert " open>" in render(text, readings, replace(READER, track="roof"))
    assert "<details" not in render(text, readings, replace(READER, track="office"))


def test_numbers_and_figures_follow_the_language_of_the_reader(readings: Readings) -> None:
    text = '{{ now[array].power_W | kW 2 }}\n\n```figure\nlevels = "1/4"\ncaption = "x"\n```'
    german = render(text, readings, Audience(language="de"))
    assert re.search(r"\d,\d\d\u202fkW", german)
    assert ">Strang</text>" in german
    with speaking("de"):
        assert render(text, readings) == german
        assert ">string</text>" in render(text, readings, Audience(language="en"))


def test_subscripts_and_emphasis(readings: Readings) -> None:
    assert render_line("*V*~oc~ and a~b", readings) == "<em>V</em><sub>oc</sub> and a~b"


def test_a_number_this_array_does_not_have_is_shown_as_no_value(readings: Readings) -> None:
    assert "no value" in render_line("{{ now[2/9].power_W }}", readings)


@pytest.mark.parametrize("kind", ["current", "power", "levels"])
def test_a_figure_is_drawn_from_the_data_with_words_for_those_who_do_not_see_it(
    kind: str, readings: Readings
) -> None:
    text = f'```figure\n{kind} = "1/4/14"\ncaption = "At {{{{ now[array].power_W | W 0 }}}}."\n```\n'
    html = render(text, readings)
    assert hostile_parts(html) == []
    assert 'role="img"' in html
    label = re.search(r'aria-label="([^"]+)"', html)
    assert label is not None
    assert re.search(r"\d", label[1])
    assert "<figcaption>At <data" in html
    assert "NaN" not in html
    assert "nan" not in html


@pytest.mark.parametrize("place", ["1/4/14", "1/4/s1", "1/4", "1"])
def test_what_stands_below_a_figure_does_not_run_together(place: str, readings: Readings) -> None:
    html = render(f'```figure\ncurrent = "{place}"\ncaption = "x"\n```\n', readings)
    below = []
    for x, y, how, text in re.findall(
        r'<text class="\w+" x="([\d.]+)" y="([\d.]+)"(?: text-anchor="(\w+)")?>([^<]*)</text>', html
    ):
        if float(y) > 150:
            wide = 0.6 * 16.4 * len(text)  # in large type
            left = float(x) - {"middle": wide / 2, "end": wide}.get(how, 0.0)
            below.append((left, left + wide, text))
    below.sort()
    assert below[-1][2].endswith("V")
    assert len(below) >= 3
    assert below[-1][1] <= 300
    assert all(one[1] < other[0] for one, other in pairwise(below)), below


def test_the_figure_of_levels_says_the_change_at_each_level(readings: Readings) -> None:
    html = render('```figure\nlevels = "darkest"\ncaption = "x"\n```\n', readings)
    for level in ("cell", "substring", "module", "string", "array"):
        assert f">{level}</text>" in html


@pytest.mark.parametrize(
    "text",
    ["", 'current = "1/4"', 'caption = "x"', 'curve = "1/4"\ncaption = "x"', "current = 3\ncaption = 'x'",
     'current = "1/4"\npower = "1/4"\ncaption = "x"', 'current = "attic"\ncaption = "x"', "x = = 2"],
)  # fmt: skip
def test_a_figure_that_cannot_be_is_refused(text: str) -> None:
    with pytest.raises(PvsimError):
        read_figure(text)


@pytest.mark.parametrize("indent", ["", " ", "    ", "\t", "            "])
def test_text_and_figures_that_are_set_in_by_chance_are_shown_like_all_others(
    indent: str, readings: Readings
) -> None:
    html = render(f"Before.\n\n{indent}It has {{{{ now[1/1].cells | plain 0 }}}} cells.", readings)
    assert '<data class="computed">60</data>' in html
    block = ["```figure", 'current = "1/1"', 'caption = "A module"', "```"]
    assert "<figure>" in render("\n".join(indent + line for line in block), readings)


def test_a_number_or_a_term_within_code_is_shown_as_it_is_written(
    readings: Readings,
) -> None:
    html = render("Write `{{ now[1/1].cells }}` or `[[diode]]`.", readings, READER)
    assert "<code>{{ now[1/1].cells }}</code>" in html
    assert "<code>[[diode]]</code>" in html

"""Lesson text to HTML: Markdown without raw HTML, computed numbers filled in, figures drawn.

The output holds only tags made here and by the Markdown renderer; whatever looks like HTML
in a lesson is shown as text, images are not loaded, and links lead to http or https alone.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import lru_cache
from html import escape
from typing import Any

from markdown_it import MarkdownIt
from markdown_it.renderer import RendererHTML
from markdown_it.rules_inline import StateInline
from markdown_it.token import Token
from markdown_it.utils import EnvType, OptionsDict

from pvsim.course.drawing import draw_figure
from pvsim.course.figure import read_figure
from pvsim.course.readings import Readings, parse_number, show
from pvsim.course.typed import COMPUTED
from pvsim.errors import PvsimError

NO_VALUE = "no value"
LONGEST_SUBSCRIPT = 12

_COVERED = re.compile(r"\{\ue000(\d+)\ue001")


OPEN, CLOSE = "\ue000", "\ue001"  # private use; behind a brace, where the text rule pauses


def render(text: str, readings: Readings) -> str:
    """A piece of lesson text as HTML.

    Parameters
    ----------
    text : str
        Markdown with {{ numbers }} and ```figure blocks; not trusted.
    readings : Readings
        Where the numbers are read from.

    Returns
    -------
    str
        HTML without scripts, styles, images or foreign tags.
    """
    covered, numbers = _cover(text)
    return str(_markdown().render(covered, {"readings": readings, "numbers": numbers}))


def render_line(text: str, readings: Readings) -> str:
    """A piece of lesson text as HTML without a paragraph around it."""
    covered, numbers = _cover(text)
    return str(_markdown().renderInline(covered, {"readings": readings, "numbers": numbers}))


def _cover(text: str) -> tuple[str, list[str]]:
    """The text with each {{ number }} replaced by its place in a list.

    The bar in a number would end a table's cell and its brackets make a link.
    """
    numbers: list[str] = []

    def take(match: re.Match[str]) -> str:
        numbers.append(match[1])
        return "{" + f"{OPEN}{len(numbers) - 1}{CLOSE}"

    clean = text.replace(OPEN, "").replace(CLOSE, "")
    return COMPUTED.sub(take, clean), numbers


def _uncover(text: str, numbers: Sequence[str]) -> str:
    """The text as it was before `_cover`."""
    return _COVERED.sub(lambda match: "{{" + numbers[int(match[1])] + "}}", text)


@lru_cache(maxsize=1)
def _markdown() -> MarkdownIt:
    markdown = MarkdownIt("commonmark", {"html": False}).enable("table").disable(["image", "html_inline"])
    markdown.disable("html_block")
    markdown.validateLink = _is_plain_link  # type: ignore[method-assign]
    markdown.inline.ruler.before("escape", "computed", _computed_rule)
    markdown.inline.ruler.after("escape", "subscript", _subscript_rule)
    markdown.add_render_rule("computed", _show_computed)
    markdown.add_render_rule("subscript", _show_subscript)
    markdown.add_render_rule("fence", _show_fence)
    markdown.add_render_rule("link_open", _open_link)
    return markdown


def _is_plain_link(url: str) -> bool:
    return url.lower().startswith(("https://", "http://"))


def _computed_rule(state: StateInline, silent: bool) -> bool:
    """A covered number becomes a token of its own."""
    match = _COVERED.match(state.src, state.pos)
    if match is None:
        return False
    if not silent:
        token = state.push("computed", "data", 0)
        token.content = state.env["numbers"][int(match[1])]
    state.pos = match.end()
    return True


def _subscript_rule(state: StateInline, silent: bool) -> bool:
    """V~oc~ becomes V with a subscript."""
    if state.src[state.pos] != "~":
        return False
    end = state.src.find("~", state.pos + 1, state.posMax)
    inside = state.src[state.pos + 1 : end]
    if end < 0 or not 0 < len(inside) <= LONGEST_SUBSCRIPT or not inside.replace(",", "").isalnum():
        return False
    if not silent:
        token = state.push("subscript", "sub", 0)
        token.content = inside
    state.pos = end + 1
    return True


def _show_computed(
    renderer: RendererHTML, tokens: Sequence[Token], at: int, options: OptionsDict, env: EnvType
) -> str:
    try:
        shown = show(parse_number(tokens[at].content), env["readings"])
    except PvsimError:  # a place this array does not have; the reader has checked all else
        shown = NO_VALUE
    return f'<data class="computed">{escape(shown)}</data>'


def _show_subscript(
    renderer: RendererHTML, tokens: Sequence[Token], at: int, options: OptionsDict, env: EnvType
) -> str:
    return f"<sub>{escape(tokens[at].content)}</sub>"


def _show_fence(
    renderer: RendererHTML, tokens: Sequence[Token], at: int, options: OptionsDict, env: EnvType
) -> str:
    token = tokens[at]
    content = _uncover(token.content, env["numbers"])
    if token.info.strip() != "figure":
        return f"<pre><code>{escape(content)}</code></pre>\n"
    readings: Readings = env["readings"]
    try:
        figure = read_figure(content)
        drawn = draw_figure(figure, readings)
    except PvsimError:
        return ""
    caption = render_line(figure.caption, readings)
    return f"<figure>{drawn}<figcaption>{caption}</figcaption></figure>\n"


def _open_link(
    renderer: RendererHTML, tokens: Sequence[Token], at: int, options: OptionsDict, env: EnvType
) -> str:
    href: Any = tokens[at].attrGet("href")
    return f'<a href="{escape(str(href))}" target="_blank" rel="noopener noreferrer">'

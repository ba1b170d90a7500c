"""Lesson text to HTML: Markdown without raw HTML, computed numbers filled in, figures drawn,
terms and asides for those who read it.

The output holds only tags made here and by the Markdown renderer; whatever looks like HTML
in a lesson is shown as text, images are not loaded, and links lead to http or https alone.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from contextlib import AbstractContextManager, nullcontext
from dataclasses import replace
from functools import lru_cache
from html import escape
from typing import Any

from markdown_it import MarkdownIt
from markdown_it.renderer import RendererHTML
from markdown_it.rules_inline import StateInline
from markdown_it.token import Token
from markdown_it.utils import EnvType, OptionsDict

from pvsim.course.lesson.audience import ANYBODY, Audience, chosen_asides
from pvsim.course.number.evaluation import Readings, parse_number, show
from pvsim.course.text.blocks import ASIDE, FIGURE
from pvsim.course.text.drawing import draw_figure
from pvsim.course.text.figure import read_figure
from pvsim.course.text.terms import TERM, term_id
from pvsim.course.text.typed_numbers import COMPUTED, joined
from pvsim.course.text.warrant import is_warrant
from pvsim.errors import PvsimError
from pvsim.words import _, speaking

LONGEST_SUBSCRIPT = 12

_COVERED = re.compile(r"\{\ue000(\d+)\ue001")
_HIDDEN = re.compile(rf"{COMPUTED.pattern}|{TERM.pattern}")
_CLOSING = re.compile(r"[.,;:!?)\u2026\u201c\u201d]+")  # marks that stand on the line of the word before

OPEN, CLOSE = "\ue000", "\ue001"  # private use; behind a brace, where the text rule pauses


def render(text: str, readings: Readings, audience: Audience = ANYBODY) -> str:
    """A piece of lesson text as HTML.

    Parameters
    ----------
    text : str
        Markdown with {{ numbers }}, [[terms]], figures and asides; not trusted.
    readings : Readings
        Where the numbers are read from.
    audience : Audience
        Who reads: how numbers are written, which asides are there, which terms can be pressed.

    Returns
    -------
    str
        HTML without scripts, styles, images or foreign tags.
    """
    covered, hidden = _cover(text)
    with _language_of(audience):
        return str(_markdown().render(covered, _environment(readings, audience, hidden)))


def render_line(text: str, readings: Readings, audience: Audience = ANYBODY) -> str:
    """A piece of lesson text as HTML without a paragraph around it."""
    covered, hidden = _cover(text)
    with _language_of(audience):
        return str(_markdown().renderInline(covered, _environment(readings, audience, hidden)))


@lru_cache(maxsize=2048)
def render_words(text: str) -> str:
    """Words without numbers as HTML, such as the meaning of a term."""
    return str(_markdown().renderInline(text.replace(OPEN, "").replace(CLOSE, ""), {"hidden": []}))


def render_text(text: str) -> str:
    """Text without numbers as HTML, in paragraphs."""
    return str(_markdown().render(text.replace(OPEN, "").replace(CLOSE, ""), {"hidden": []}))


def _language_of(audience: Audience) -> AbstractContextManager[None]:
    return speaking(audience.language) if audience.language else nullcontext()


def _environment(readings: Readings, audience: Audience, hidden: list[str]) -> dict[str, Any]:
    return {"readings": readings, "audience": audience, "hidden": hidden}


def _cover(text: str) -> tuple[str, list[str]]:
    """The text with each {{ number }} and each [[term]] replaced by its place in a list.

    The bar in them would end a table's cell and their brackets make a link.
    """
    hidden: list[str] = []

    def take(match: re.Match[str]) -> str:
        hidden.append(match[0])
        return "{" + f"{OPEN}{len(hidden) - 1}{CLOSE}"

    clean = text.replace(OPEN, "").replace(CLOSE, "")
    return joined(_HIDDEN.sub(take, clean)), hidden


def _uncover(text: str, hidden: Sequence[str]) -> str:
    """The text as it was before `_cover`."""
    return _COVERED.sub(lambda match: hidden[int(match[1])], text)


@lru_cache(maxsize=1)
def _markdown() -> MarkdownIt:
    markdown = MarkdownIt("commonmark", {"html": False}).enable("table").disable(["image", "html_inline"])
    markdown.disable(["html_block", "code"])  # a line that is set in by chance is no block of code
    markdown.validateLink = _is_plain_link  # type: ignore[method-assign]
    markdown.inline.ruler.before("escape", "covered", _covered_rule)
    markdown.inline.ruler.after("escape", "subscript", _subscript_rule)
    markdown.add_render_rule("computed", _show_computed)
    markdown.add_render_rule("term", _show_term)
    markdown.add_render_rule("subscript", _show_subscript)
    markdown.add_render_rule("fence", _show_fence)
    markdown.add_render_rule("code_inline", _show_code)
    markdown.add_render_rule("link_open", _open_link)
    return markdown


def _is_plain_link(url: str) -> bool:
    return url.lower().startswith(("https://", "http://"))


def _covered_rule(state: StateInline, silent: bool) -> bool:
    """A covered number or term becomes a token of its own."""
    match = _COVERED.match(state.src, state.pos)
    if match is None:
        return False
    content = state.env["hidden"][int(match[1])]
    kind = "computed" if content.startswith("{{") else "term"
    closing = _CLOSING.match(state.src, match.end(), state.posMax) if kind == "term" else None
    if not silent:
        token = state.push(kind, "", 0)
        token.content = content
        token.info = closing[0] if closing else ""
    state.pos = closing.end() if closing else match.end()
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
    audience: Audience = env["audience"]
    if is_warrant(tokens[at].content[2:-2]):
        return ""
    try:
        shown = show(parse_number(tokens[at].content[2:-2]), env["readings"], audience.language)
    except PvsimError:  # a place this array does not have; the reader has checked all else
        shown = _("no value")
    return f'<data class="computed">{escape(shown)}</data>'


def _show_term(
    renderer: RendererHTML, tokens: Sequence[Token], at: int, options: OptionsDict, env: EnvType
) -> str:
    """The words of a term; a button where its meaning can be looked up."""
    match = TERM.fullmatch(tokens[at].content)
    assert match is not None
    audience: Audience = env["audience"]
    words = render_line(match[1], env["readings"], replace(audience, glossary={}))
    name = term_id(match)
    closing = escape(tokens[at].info)
    if name not in audience.glossary:
        return words + closing
    button = f'<button class="term" type="button" data-term="{escape(name)}">{words}</button>'
    return f'<span class="unbroken">{button}{closing}</span>' if closing else button


def _show_subscript(
    renderer: RendererHTML, tokens: Sequence[Token], at: int, options: OptionsDict, env: EnvType
) -> str:
    return f"<sub>{escape(tokens[at].content)}</sub>"


def _show_fence(
    renderer: RendererHTML, tokens: Sequence[Token], at: int, options: OptionsDict, env: EnvType
) -> str:
    token = tokens[at]
    content = _uncover(token.content, env["hidden"])
    kind, _space, name = token.info.strip().partition(" ")
    if kind == ASIDE:
        return _show_aside(name.strip(), content, env["readings"], env["audience"])
    if kind != FIGURE:
        return f"<pre><code>{escape(content)}</code></pre>\n"
    return _show_figure(content, env["readings"], env["audience"])


def _show_code(
    renderer: RendererHTML, tokens: Sequence[Token], at: int, options: OptionsDict, env: EnvType
) -> str:
    return f"<code>{escape(_uncover(tokens[at].content, env['hidden']))}</code>"


def _show_figure(content: str, readings: Readings, audience: Audience) -> str:
    try:
        figure = read_figure(content)
        drawn = draw_figure(figure, readings)
    except PvsimError:
        return ""
    caption = render_line(figure.caption, readings, audience)
    return f"<figure>{drawn}<figcaption>{caption}</figcaption></figure>\n"


def _show_aside(name: str, content: str, readings: Readings, audience: Audience) -> str:
    """What is meant for one track: open on that track, closed without a track, and else not there."""
    track = next((one for one in chosen_asides(audience) if one.id == name), None)
    if track is None:
        return ""
    inside = render(content, readings, replace(audience, tracks=()))  # no aside within an aside
    is_open = " open" if audience.track else ""
    return (
        f'<details class="aside" data-track="{escape(name)}"{is_open}>'
        f"<summary>{escape(track.aside)}</summary>\n{inside}</details>\n"
    )


def _open_link(
    renderer: RendererHTML, tokens: Sequence[Token], at: int, options: OptionsDict, env: EnvType
) -> str:
    href: Any = tokens[at].attrGet("href")
    return f'<a href="{escape(str(href))}" target="_blank" rel="noopener noreferrer">'

"""How long a lesson takes somebody who learns alone: the words to read, and the steps to do."""

from __future__ import annotations

import re

from pvsim.course.lesson.lesson import ChoiceQuestion, Lesson, Question, Step
from pvsim.course.text.blocks import ASIDE, FIGURE, blocks
from pvsim.course.text.typed_numbers import COMPUTED
from pvsim.course.text.warrant import is_warrant

WORDS_A_MINUTE = 150.0  # text with numbers, to be understood; plain prose goes at 200 to 250 (from memory)
MINUTES_A_STEP = 2.5  # to think before the prediction, to do the act, to find the reading; a reckoned value

_CAPTION = re.compile(r'^\s*caption\s*=\s*"(.*)"\s*$', re.MULTILINE)
_WORD = re.compile(r"\w+(?:[.,'\u2019-]\w+)*")


def minutes_alone(lesson: Lesson) -> float:
    """Words over reading speed, and so much for each step.

    Returns
    -------
    float
        Of the text for all, one track's asides, the choices, and what is said to right answers.
    """
    return words_of(lesson) / WORDS_A_MINUTE + MINUTES_A_STEP * len(lesson.steps)


def words_of(lesson: Lesson) -> int:
    """Words that a learner reads on the way: without the lecturer's notes and without wrong turns."""
    texts = [lesson.opening.text, lesson.closing.text, *lesson.objectives, *lesson.limits]
    texts += [text for step in lesson.steps for text in _of_step(step)]
    return sum(_count(text) for text in texts)


def _of_step(step: Step) -> list[str]:
    sections = (step.lead, step.ask, step.act, step.notice, step.explain)
    return [
        *(section.text for section in sections),
        *(text for question in (step.predict, step.observe) for text in _of_question(question)),
    ]


def _of_question(question: Question | None) -> list[str]:
    if not isinstance(question, ChoiceQuestion):
        return []
    return [*(one.text for one in question.choices), *(one.feedback for one in question.choices if one.right)]


def _count(text: str) -> int:
    """Words of a text; a computed number is one, of asides that of the longest, a figure has its caption."""
    lines, beside = text.split("\n"), [0]
    for block in blocks(text):
        lines[block.line : block.end + 1] = [""] * (min(block.end + 1, len(lines)) - block.line)
        if block.kind == FIGURE:
            caption = _CAPTION.search(block.text)
            lines[block.line] = caption[1] if caption else ""
        elif block.kind == ASIDE:
            beside.append(_count(block.text))
    plain = COMPUTED.sub(lambda match: "" if is_warrant(match[1]) else " number ", "\n".join(lines))
    return len(_WORD.findall(plain)) + max(beside)

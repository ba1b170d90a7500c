"""Raised hands: where they can be counted, and one more or fewer of them."""

from __future__ import annotations

from typing import Any

from pvsim.course.lecture import lecture_state as stand
from pvsim.course.lecture.class_answers import MOST_HANDS
from pvsim.course.lecture.lecture_state import Podium
from pvsim.course.lesson.lesson import ChoiceQuestion, Course, Question

__all__ = ["asked", "one_hand"]


def asked(podium: Podium, course: Course) -> Question | None:
    """What the class is asked at this cue; None where it is asked nothing."""
    step = stand.step_of(podium, course)
    return step.predict if step is not None and stand.cue_of(podium).moment == "ask" else None


def one_hand(podium: Podium, question: Question, choice: Any, by: Any) -> tuple[float, ...] | None:
    """The hands with one more (1) or fewer (-1) for a choice; None where there is no such choice."""
    many = len(question.choices) if isinstance(question, ChoiceQuestion) else 0
    if not isinstance(choice, int) or choice not in range(many) or by not in (-1, 1):
        return None
    hands = stand.standing_of(podium).rounds[-1].hands
    counts = [hands[k] if k < len(hands) else 0.0 for k in range(many)]
    counts[choice] = min(max(counts[choice] + by, 0.0), float(MOST_HANDS))
    return tuple(counts)

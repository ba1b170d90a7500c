"""What a course, a lesson and its steps are: frozen values, all text still as written."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from pvsim.array.place import Place
from pvsim.array.scenario import Scenario
from pvsim.course.lesson.changes import Change
from pvsim.course.lesson.glossary import Term
from pvsim.course.lesson.step_search import SetSearch, StepSearch
from pvsim.course.lesson.track import Track
from pvsim.course.number.checks import Check
from pvsim.course.number.expression import Condition, Expression
from pvsim.course.number.units import Unit
from pvsim.course.problem import Problem
from pvsim.course.text.body import Section
from pvsim.prompt import summary

NOTHING = Section()


@dataclass(frozen=True, slots=True, kw_only=True)
class Mistake:
    """A wrong number that tells what the learner was thinking.

    Parameters
    ----------
    value : Expression
        What somebody with this idea would answer.
    idea : str
        The misconception, in a few words.
    feedback : str
        What to tell them; Markdown with computed numbers.
    idea_id : str
        The misconception's name, the same in every language, lesson and exercise; "" for none.
    """

    value: Expression
    idea: str
    feedback: str
    idea_id: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class NumberQuestion:
    """A question answered with a number.

    Parameters
    ----------
    answer : Expression
        The right answer, computed when it is needed.
    unit : Unit
        The unit the learner answers in.
    tolerance, relative_tolerance : float
        How far off still counts: in SI units, plus as a share of the right answer.
    mistakes : tuple of Mistake
        Wrong answers with a reason, looked at in their order.
    """

    answer: Expression
    unit: Unit
    tolerance: float = 0.0
    relative_tolerance: float = 0.0
    mistakes: tuple[Mistake, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """One of several answers.

    Parameters
    ----------
    text, feedback : str
        What it says, and what to tell who chose it; Markdown with computed numbers.
    right : bool
        Whether the author holds it for the right one.
    when : Condition or None
        When it is right, asked of the solver; it then decides, and the author's word is
        held to it by the course check.
    idea : str
        The misconception behind a wrong choice; empty for the right one.
    idea_id : str
        Its name, as of a mistake.
    """

    text: str
    feedback: str
    right: bool
    when: Condition | None
    idea: str
    idea_id: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ChoiceQuestion:
    """A question answered by choosing; exactly one choice is right."""

    choices: tuple[Choice, ...]


Question = NumberQuestion | ChoiceQuestion


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """What the page shows when a step begins; None leaves it as it is."""

    focus: Place | None = None
    level: str | None = None
    quantity: str | None = None
    condition: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One round: predict, act, observe, explain.

    Parameters
    ----------
    id, title : str
        The id names the step's part of the text.
    transfer : bool
        Whether the step carries the idea to another array.
    start, finish : Scenario
        What the step begins with, and what its solution makes of it.
    predict : Question
        Asked before anything may be changed.
    observe : Question or None
        Asked after the change; may be missing in a transfer.
    done_when : tuple of Check
        All must hold for the act to be done.
    solution : tuple of Change
        One way to do it; none where the act is a search, which holds its own.
    look : Look
        Where the page looks.
    cautions : tuple of str
        Names of the cautions shown before the act.
    hides : tuple of str
        What would answer the prediction and is kept back until it is given; names of `giveaway.HIDES`.
    lead, ask, act, notice, explain : Section
        The text: at the step's head, and of its four parts.
    notes : Section
        For the lecturer; never shown to learners.
    line : int
        Where the step begins in its file.
    search : StepSearch or None
        For a hidden fault, where that is the act.
    """

    id: str
    title: str
    transfer: bool
    start: Scenario
    finish: Scenario
    predict: Question
    observe: Question | None
    done_when: tuple[Check, ...]
    solution: tuple[Change, ...]
    look: Look
    cautions: tuple[str, ...]
    lead: Section
    ask: Section
    act: Section
    notice: Section
    explain: Section
    notes: Section = NOTHING
    line: int = 0
    hides: tuple[str, ...] = ()
    search: StepSearch | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Lesson:
    """One lesson as read from its file.

    Parameters
    ----------
    slug, file : str
        Name without ending; file within the course folder.
    language : str
        Its text is written in.
    title, question : str
        The question is the one the lesson answers, for the course list.
    minutes : int
    objectives, sources, limits : tuple of str
        What one can do afterwards; where facts are from; what the model leaves out.
    needs : tuple of str
        Slugs of lessons to do before.
    given : mapping of str to str
        Quantities the text may state as typed ("1000 W/m2"), each with its reason.
    opening, closing : Section
        Text before the first step and after the last.
    steps : tuple of Step
    """

    slug: str
    file: str
    title: str
    question: str
    minutes: int
    objectives: tuple[str, ...]
    sources: tuple[str, ...]
    limits: tuple[str, ...]
    needs: tuple[str, ...]
    steps: tuple[Step, ...]
    given: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))
    opening: Section = NOTHING
    closing: Section = NOTHING
    language: str = "en"

    __repr__ = summary


@dataclass(frozen=True, slots=True, kw_only=True)
class Course:
    """Lessons in their order, and what was wrong with those left out.

    Parameters
    ----------
    title : str
    lessons : tuple of Lesson
        Those that are in order.
    problems : tuple of Problem
        By file and line.
    language : str
        That was asked for; a lesson without a translation has its own.
    order : tuple of str
        Every slug in its place: lessons, those left out, those reserved.
    reserved : mapping of str to str
        Slugs that have their place but no file yet, each with its title.
    tracks : tuple of Track
    glossary : mapping of str to Term
        By id.
    searches : tuple of SetSearch
        Given as practice, in their order.
    """

    title: str
    lessons: tuple[Lesson, ...]
    problems: tuple[Problem, ...] = ()
    language: str = "en"
    order: tuple[str, ...] = ()
    reserved: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))
    tracks: tuple[Track, ...] = ()
    glossary: Mapping[str, Term] = field(default_factory=lambda: MappingProxyType({}))
    searches: tuple[SetSearch, ...] = ()

    __repr__ = summary

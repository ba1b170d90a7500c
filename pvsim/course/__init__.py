"""The course: lessons as data, read strictly, played by pure functions.

    file --reader--> Lesson --player--> Progress        text --render--> HTML
                       |                                  |
                  checks, changes                    expression, quantities

A lesson holds no code: what it may change, check and compute are the fixed tables CHANGES,
CHECKS and QUANTITIES. `render` is not imported here, since it needs a Markdown reader.
"""

from __future__ import annotations

from pvsim.course.answers import Answer, ChoiceAnswer, NumberAnswer, Verdict, judge, read_answer
from pvsim.course.cautions import CAUTIONS
from pvsim.course.changes import CHANGES, Change, apply_all
from pvsim.course.checks import CHECKS, Check, check_holds
from pvsim.course.course_check import check_course, check_course_file, check_lesson
from pvsim.course.course_reader import course_languages, find_scenario, own_course, read_course
from pvsim.course.evaluation import Readings, parse_number, show
from pvsim.course.glossary import Term
from pvsim.course.lesson import Choice, ChoiceQuestion, Course, Lesson, NumberQuestion, Step
from pvsim.course.player import Progress, begin
from pvsim.course.problem import Problem
from pvsim.course.quantities import QUANTITIES, Quantity
from pvsim.course.reader import examine_lesson, read_lesson
from pvsim.course.solved_scenario import Situation, solved
from pvsim.course.track import Track
from pvsim.course.units import UNITS

__all__ = [
    "CAUTIONS",
    "CHANGES",
    "CHECKS",
    "QUANTITIES",
    "UNITS",
    "Answer",
    "Change",
    "Check",
    "Choice",
    "ChoiceAnswer",
    "ChoiceQuestion",
    "Course",
    "Lesson",
    "NumberAnswer",
    "NumberQuestion",
    "Problem",
    "Progress",
    "Quantity",
    "Readings",
    "Situation",
    "Step",
    "Term",
    "Track",
    "Verdict",
    "apply_all",
    "begin",
    "check_course",
    "check_course_file",
    "check_holds",
    "check_lesson",
    "course_languages",
    "examine_lesson",
    "find_scenario",
    "judge",
    "own_course",
    "parse_number",
    "read_answer",
    "read_course",
    "read_lesson",
    "show",
    "solved",
]

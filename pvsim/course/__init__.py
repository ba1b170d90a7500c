"""The course: lessons as data, read strictly, played by pure functions.

    file --reader--> Lesson --player--> Progress        text --render--> HTML
                       |                                  |
                  checks, changes                    expression, quantities

A lesson holds no code: what it may change, check and compute are the fixed tables CHANGES,
CHECKS and QUANTITIES. `render` is not imported here, since it needs a Markdown reader.
"""

from __future__ import annotations

from pvsim.course.folder.course_check import check_course, check_course_file, check_lesson
from pvsim.course.folder.course_reader import course_languages, find_scenario, own_course, read_course
from pvsim.course.lesson.cautions import CAUTIONS
from pvsim.course.lesson.changes import CHANGES, Change, apply_all
from pvsim.course.lesson.glossary import Term
from pvsim.course.lesson.lesson import Choice, ChoiceQuestion, Course, Lesson, NumberQuestion, Step
from pvsim.course.lesson.reader import examine_lesson, read_lesson
from pvsim.course.lesson.track import Track
from pvsim.course.number.checks import CHECKS, Check, check_holds
from pvsim.course.number.evaluation import Readings, parse_number, show
from pvsim.course.number.quantities import QUANTITIES, Quantity
from pvsim.course.number.solved_scenario import Situation, solved
from pvsim.course.number.units import UNITS
from pvsim.course.play.answers import Answer, ChoiceAnswer, NumberAnswer, Verdict, judge, read_answer
from pvsim.course.play.player import Progress, begin
from pvsim.course.problem import Problem

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

"""Checks a whole course: every file read, and every lesson played by its own solutions."""

from __future__ import annotations

import re
from dataclasses import replace
from math import isfinite
from pathlib import Path

from pvsim.course.folder.course_file import COURSE_FILE
from pvsim.course.folder.course_folder import open_home
from pvsim.course.folder.course_reader import (
    course_languages,
    course_of,
    find_scenario,
    read_course,
    read_one,
)
from pvsim.course.lesson.giveaway import HIDES, covered, giveaways
from pvsim.course.lesson.lesson import ChoiceQuestion, Course, Lesson, NumberQuestion, Question, Step
from pvsim.course.lesson.reader import FindScenario, examine_lesson
from pvsim.course.lesson.step_search import unsolved
from pvsim.course.lesson.upheld import fallen_claims, fallen_claims_of
from pvsim.course.number.checks import all_hold
from pvsim.course.number.evaluation import Readings, parse_number, value_of
from pvsim.course.number.solved_scenario import solved
from pvsim.course.play import player
from pvsim.course.play.answers import ChoiceAnswer, is_right, right_answer
from pvsim.course.problem import Problem
from pvsim.course.text.text_check import computed
from pvsim.errors import LessonError, PvsimError
from pvsim.files.source import read_source

_AT_LINE = re.compile(rf"{re.escape(COURSE_FILE)}, line (\d+): ")


def check_course(folder: Path | str) -> list[Problem]:
    """Everything that is wrong with a course; an empty list when it is in order.

    Parameters
    ----------
    folder : path
        Holds course.toml, the lessons and perhaps scenario files, a glossary, translations.

    Returns
    -------
    list of Problem
        By file and line, in every language the course has. Lessons that read well are
        played: each solution has to make its step done, the step must not be done before,
        the right answers have to be right by the solver, and every number in the text needs
        a value.
    """
    try:
        courses = [read_course(folder, language) for language in course_languages(folder)]
    except PvsimError as error:
        return [course_problem(error)]
    found = [problem for course in courses for problem in course.problems]
    found += [problem for lesson in courses[0].lessons for problem in played_problems(lesson)]
    return list(dict.fromkeys(found))  # what is wrong with the original is told once, not once a language


def check_course_file(path: Path) -> list[Problem] | None:
    """Everything that is wrong with one file of a course; None if it lies in no course.

    Parameters
    ----------
    path : Path
        Of a lesson or a translation of one, of course.toml, of a glossary.

    Returns
    -------
    list of Problem or None
        `file` within the course folder.
    """
    folder, language = course_of(path.parent)
    if folder is None:
        return None
    if path.suffix != ".md":
        file = f"{language}/{path.name}" if language else path.name
        return [one for one in check_course(folder) if one.file == file]
    try:
        home = open_home(folder)
        home = open_home(folder, language) if language else open_home(folder, home.plan.language)
    except PvsimError as error:
        return [course_problem(error)]
    lesson, problems = read_one(home, path.stem)
    return list(problems) if lesson is None or problems else played_problems(lesson)


def course_problem(error: PvsimError) -> Problem:
    """What keeps a whole course from being read, with its line where that is known."""
    found = _AT_LINE.match(error.wrong)
    return Problem(
        file=COURSE_FILE,
        line=int(found[1]) if found else 0,
        wrong=error.wrong[found.end() :] if found else error.wrong,
        expected=error.expected,
        mend=error.mend,
    )


def sound_course(folder: Path | str, language: str = "en") -> Course:
    """The course in a folder without every lesson that has any mistake, as it reads or as it plays.

    Returns
    -------
    Course
        `problems` names what is left out.

    Raises
    ------
    LessonError
        If there is no course file, or it cannot be read at all.
    """
    return _without_mistakes(read_course(folder, language))


def sound_lesson(folder: Path | str, slug: str, language: str = "en") -> Course:
    """One lesson as a course of its own; what its folder's course has of tracks and terms is there too.

    Parameters
    ----------
    folder : path
        Of the lesson; it need not be a course, nor name the lesson if it is one.
    slug : str
        The file's name without .md.
    """
    folder = Path(folder)
    if not (folder / COURSE_FILE).exists():
        path = folder / f"{slug}.md"
        text = read_source(path, path.name).text
        lesson, problems = examine_lesson(text, path.name, lambda name: find_scenario(name, folder))
        course = Course(title=lesson.title if lesson else slug, lessons=())
    else:
        home = open_home(folder, language)
        lesson, found = read_one(home, slug)
        problems = (*home.problems, *found)
        course = Course(
            title=home.plan.title,
            lessons=(),
            language=language,
            tracks=home.plan.tracks,
            glossary=home.glossary,
        )
    lessons = () if lesson is None else (lesson,)
    return _without_mistakes(replace(course, lessons=lessons, problems=problems, order=(slug,)))


def _without_mistakes(course: Course) -> Course:
    problems = list(course.problems)
    wrong = {problem.file for problem in problems}
    lessons = []
    for lesson in course.lessons:
        played = played_problems(lesson)
        problems += [replace(problem, file=f"{lesson.slug}.md") for problem in played]  # of all languages
        if not played and lesson.file not in wrong:
            lessons.append(lesson)
    return replace(course, lessons=tuple(lessons), problems=tuple(problems))


def check_lesson(text: str, file: str, find: FindScenario) -> list[Problem]:
    """Everything that is wrong with one lesson that stands alone: as it reads, and as it plays.

    Parameters
    ----------
    text, file : str
        What stands in the file, and its name.
    find : callable
        Gives the scenario of a name.
    """
    lesson, problems = examine_lesson(text, file, find)
    return list(problems) if lesson is None else played_problems(lesson)


def played_problems(lesson: Lesson) -> list[Problem]:
    """What goes wrong when a lesson is played by its own solutions."""
    problems: list[Problem] = []
    for number, step in enumerate(lesson.steps, start=1):
        try:
            problems += _play(lesson, number, step)
        except PvsimError as error:
            problems.append(_problem(lesson, step, error.wrong, error.expected, error.mend))
    return problems or fallen_claims(lesson)


def _play(lesson: Lesson, number: int, step: Step) -> list[Problem]:
    start, finish = solved(step.start), solved(step.finish)
    readings = Readings(finish, start)
    problems: list[Problem] = []
    if all_hold(step.done_when, start):
        problems.append(
            _problem(
                lesson,
                step,
                "the act is done before anybody has done anything",
                "a 'done_when' that the beginning does not meet",
                "Make the check stricter, or change 'start'",
            )
        )
    if not all_hold(step.done_when, finish):
        problems.append(
            _problem(
                lesson,
                step,
                "the solution does not get the act done",
                "a 'done_when' that the scenario after 'solution' meets",
                "Correct 'solution' or 'done_when'",
            )
        )
        return problems
    if step.search is not None and (wrong := unsolved(step.search)):
        problems.append(
            _problem(
                lesson,
                step,
                wrong,
                "acts, and an answer that ends the search",
                "Correct 'solution' or 'search'",
            )
        )
    for name, question in (("predict", step.predict), ("observe", step.observe)):
        if question is not None:
            problems += _check_question(lesson, step, name, question, readings)
    for section in (step.lead, step.ask, step.act, step.notice, step.explain):
        for line, inside in computed(section.text):
            if not isfinite(value_of(parse_number(inside).expression, readings)):
                problems.append(
                    Problem(
                        file=lesson.file,
                        line=section.line + line,
                        wrong=f"'{inside.strip()}' has no value",
                        expected="a finite number",
                        mend="Look for a division by nothing",
                    )
                )
    problems += _given_away(lesson, step, readings)
    problems += fallen_claims_of(lesson, step, readings)
    if not problems:
        _walk(lesson, number, step, readings)
    return problems


def _given_away(lesson: Lesson, step: Step, readings: Readings) -> list[Problem]:
    """What on the page answers the prediction, and is in sight all the same."""
    missing = sorted(giveaways(step, readings).difference(covered(step)))
    if not missing:
        return []
    keys = ", ".join(f'"{one}"' for one in sorted({*step.hides, *missing}))
    shown = "; and by ".join(HIDES[one] for one in missing)
    wrong = f"before it is given the prediction is answered by {shown}"
    return [_problem(lesson, step, wrong, "to be kept back until then", f"Write 'hides = [{keys}]'")]


def _check_question(
    lesson: Lesson, step: Step, name: str, question: Question, readings: Readings
) -> list[Problem]:
    problems: list[Problem] = []
    if isinstance(question, ChoiceQuestion):
        for place, choice in enumerate(question.choices, start=1):
            if is_right(choice, readings) != choice.right:
                verdict = "does not hold" if choice.right else "holds"
                problems.append(
                    _problem(
                        lesson,
                        step,
                        f"choice {place} of '{name}' is marked {'right' if choice.right else 'wrong'}, "
                        f"but its condition {verdict} after the solution",
                        "the mark and the solver to agree",
                        "Correct 'right' or 'when'",
                    )
                )
        return problems
    return _check_number(lesson, step, name, question, readings)


def _check_number(
    lesson: Lesson, step: Step, name: str, question: NumberQuestion, readings: Readings
) -> list[Problem]:
    """A right answer has to be a number, and no mistake may be within its tolerance."""
    truth = value_of(question.answer, readings)
    problems: list[Problem] = []
    if not isfinite(truth):
        problems.append(
            _problem(lesson, step, f"the answer of '{name}' has no value", "a number", "Correct 'answer'")
        )
    allowed = question.tolerance + question.relative_tolerance * abs(truth)
    for mistake in question.mistakes:
        off = abs(value_of(mistake.value, readings) - truth)
        if not off > allowed:
            problems.append(
                _problem(
                    lesson,
                    step,
                    f"the mistake '{mistake.idea}' of '{name}' counts as right",
                    "a wrong answer outside the tolerance",
                    "Make the tolerance smaller, or leave the mistake out",
                )
            )
    return problems


def _walk(lesson: Lesson, number: int, step: Step, readings: Readings) -> None:
    """Play the step through the player as a learner with all the right answers would."""
    progress = player.go_to(lesson, player.begin(lesson), number)
    progress = player.predict(lesson, progress, given_for(step.predict, readings))
    progress = player.watch(lesson, progress, readings.now)
    if step.observe is not None:
        progress = player.observe(lesson, progress, given_for(step.observe, readings))
    if player.phase_of(step, player.mark_of(lesson, progress)) != "explain":
        raise LessonError(
            f"step '{step.id}' does not reach its explanation",
            expected="a step that its own solution and right answers play to the end",
            mend="Compare 'done_when', 'solution' and the questions",
        )


def given_for(question: Question, readings: Readings) -> str | int:
    """The right answer as it would be typed or clicked."""
    answer = right_answer(question, readings)
    return answer.choice if isinstance(answer, ChoiceAnswer) else f"{answer.number:.9g}"


def _problem(lesson: Lesson, step: Step, wrong: str, expected: str, mend: str) -> Problem:
    return Problem(
        file=lesson.file, line=step.line, wrong=f"step '{step.id}': {wrong}", expected=expected, mend=mend
    )

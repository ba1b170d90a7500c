"""`pvsim closing`: a test across the course, on paper with its solution apart, or as a question bank."""

from __future__ import annotations

import os
from argparse import Namespace
from dataclasses import dataclass
from pathlib import Path

from pvsim.commands.hand_out import (
    check_students,
    check_variants,
    class_list,
    language_of,
    made_folder,
    paper_form,
    read_secret,
    tell_letters_lost,
)
from pvsim.commands.output import check_output, put_out
from pvsim.commands.text import plural
from pvsim.course.folder.course_reader import OWN_LESSONS, own_course, read_course
from pvsim.course.lesson.lesson import Course
from pvsim.course.play.closing_work import MOST_ASKED, AskedQuestion
from pvsim.course.play.revisit import Idea
from pvsim.course.play.workbook import read_workbook
from pvsim.errors import FileError
from pvsim.exercise.bank import BANK_FORMS, variants_of, write_bank
from pvsim.exercise.case import ExerciseCase, seed_for
from pvsim.exercise.closing import draw_closing, to_revisit
from pvsim.exercise.paper import (
    closing_sheet,
    closing_solution,
    closing_templates,
    parts_of_closing,
    write_html,
    write_pdf,
)
from pvsim.exercise.pool import Pool, course_pool
from pvsim.files.provenance import one_line
from pvsim.files.source import read_source, shown
from pvsim.words import speaking


@dataclass(frozen=True, slots=True, kw_only=True)
class _Test:
    """What was drawn: the same questions for all, each with numbers of their own."""

    course: Course
    pool: Pool
    revisit: tuple[Idea, ...]
    asked: tuple[AskedQuestion, ...]
    seed: int
    secret: str


def run(options: Namespace) -> int:
    """Draw a test, and write it, its solution, one for each student of a class, or a bank of it."""
    _check(options)
    form = options.form if options.form in BANK_FORMS else paper_form(options)
    language = language_of(options.language)
    secret = read_secret(options.secret)
    if not options.names:
        check_output(options.output)
    test = _drawn(options, language, secret)
    if form in BANK_FORMS:
        put_out(_bank(test, form, options.variants), options.output)
    elif options.names:
        return _class(test, form, options)
    else:
        who = one_line(options.who or "")
        put_out(_written(test, who, form, options.solution), options.output)
        tell_letters_lost([who], form)
    return 0


def _check(options: Namespace) -> None:
    check_students(options)
    check_variants(options)
    if options.names and options.workbook:
        raise FileError(
            "--class and --workbook are both given",
            expected="one of them: a workbook is that of one learner",
            mend="Call pvsim for each learner with a workbook",
        )
    bank = options.form in BANK_FORMS
    for name, given in (("--class", options.names), ("--who", options.who), ("--solution", options.solution)):
        if bank and given:
            raise FileError(
                f"{name} is given with a question bank",
                expected="a bank alone: the platform asks each student, and has the key",
                mend=f"Leave {name} out, or write a PDF",
            )
    if options.variants != 1 and not bank:
        raise FileError(
            f"--variants is {options.variants}, and no bank is written",
            expected="--variants with " + ", ".join(f"--as {one}" for one in BANK_FORMS),
            mend="For tests with other numbers give another --seed, or --class",
        )
    if not 1 <= options.questions <= MOST_ASKED:
        raise FileError(
            f"--questions is {options.questions}",
            expected=f"1 to {MOST_ASKED}",
            mend="Choose a number in that range",
        )


def _drawn(options: Namespace, language: str, secret: str) -> _Test:
    folder = Path(options.lessons) if options.lessons else OWN_LESSONS
    course = own_course(language) if folder == OWN_LESSONS else read_course(folder, language)
    pool = course_pool(course, folder)
    if not pool.lessons:
        raise FileError(
            f"no lesson of {shown(folder)} has exercises",
            expected="exercises with new numbers, in a folder exercises beside the lessons",
            mend="Write some, or leave --lessons out",
        )
    seed = options.seed if options.seed is not None else 0
    revisit: tuple[Idea, ...] = ()
    if options.workbook:
        kept = read_workbook(read_source(options.workbook).text, course)
        revisit = to_revisit(course, kept.progresses, kept.closing, pool)
    asked = draw_closing(pool, revisit, seed, options.questions)
    return _Test(course=course, pool=pool, revisit=revisit, asked=asked, seed=seed, secret=secret)


def _written(test: _Test, who: str, form: str, solution: bool) -> bytes:
    """A test or its solution: questions by the test's number, numbers by it too, or by the name."""
    seed = seed_for(who, test.secret) if who else test.seed
    case = ExerciseCase(seed=seed, secret=test.secret)
    said = f"{test.seed} / {seed}" if who else str(seed)
    revisit = test.revisit if solution else None
    with speaking(test.course.language):
        parts = parts_of_closing(test.pool, test.asked, case, test.course, revisit)
        make = closing_solution if solution else closing_sheet
        document = make(parts, title=test.course.title, language=test.course.language, who=who, case=said)
        return write_pdf(document) if form == "pdf" else write_html(document).encode()


def _class(test: _Test, form: str, options: Namespace) -> int:
    """A sheet for each name of a list, into a folder: the same questions with other numbers."""
    names = class_list(options.names)
    folder = made_folder(options.output)
    for name, file in names:
        put_out(_written(test, name, form, options.solution), os.fspath(folder / f"{file}.{form}"))
    print(f"{plural(len(names), 'sheet')} written to {folder}")
    tell_letters_lost([name for name, _file in names], form)
    return 0


def _bank(test: _Test, form: str, variants: int) -> bytes:
    case = ExerciseCase(seed=test.seed, secret=test.secret)
    with speaking(test.course.language):
        items = variants_of(closing_templates(test.pool, test.asked), case, variants)
        return write_bank(items, f"pvsim/closing-test-{test.seed}", form)

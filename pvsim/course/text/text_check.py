"""Lesson text: what in it is computed, what in it was typed."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from pvsim.array.scenario import Scenario
from pvsim.course.number.evaluation import check_paths, parse_number
from pvsim.course.number.expression import paths
from pvsim.course.table import KeyPath, Report
from pvsim.course.text.blocks import figures
from pvsim.course.text.closing import Pair, check_closed
from pvsim.course.text.figure import read_figure
from pvsim.course.text.typed_numbers import COMPUTED, plain, typed_numbers
from pvsim.course.text.warrant import is_warrant, parse_warrant, warrants_in
from pvsim.errors import PvsimError

_NUMBER = Pair(
    opens="{{",
    closes="}}",
    whole=COMPUTED,
    name="computed number",
    signs="braces",
    written="{{ what to compute | how to write it }}",
)
AS_WRITTEN = ("title", "question", "objectives", "limits")
SHOWN = ("title", "question", "objectives", "text", "feedback", "limits")  # values people read


def computed(text: str) -> Iterator[tuple[int, str]]:
    """What stands between {{ and }} as a number, with its line from 0."""
    for match in COMPUTED.finditer(text):
        if not is_warrant(match[1]):
            yield text.count("\n", 0, match.start()), match[1]


def check_text(text: str, first_line: int, scenario: Scenario, report: Report) -> None:
    """Refuse computed numbers, warrants and figures that cannot be computed for this scenario."""
    for line, inside in warrants_in(text):
        try:
            condition = parse_warrant(inside).condition
            check_paths(() if condition is None else paths(condition), scenario)
        except PvsimError as error:
            report.take_over(first_line + line, error)
    for line, inside in computed(text):
        try:
            check_paths(paths(parse_number(inside).expression), scenario)
        except PvsimError as error:
            report.take_over(first_line + line, error)
    check_closed(_NUMBER, text, first_line, report)
    for line, inside in figures(text):
        try:
            figure = read_figure(inside)
            check_paths(figure.paths, scenario)
        except PvsimError as error:
            report.take_over(first_line + line, error)
        else:
            check_text(figure.caption, first_line + line, scenario, report)


def check_typed(texts: list[tuple[str, int]], given: Mapping[str, Any], report: Report) -> None:
    """Refuse numbers with a unit that stand typed, and given ones that stand nowhere.

    Parameters
    ----------
    texts : list of (str, int)
        Every text of the lesson with the line it begins on.
    given : mapping
        Quantities that may stand as typed, with their reasons.
    report : Report
        Where problems go.
    """
    for text, first_line in texts:
        for offset, quantity in typed_numbers(text, given):
            report.add(
                first_line + offset,
                f"'{quantity}' is typed",
                expected="a computed number such as {{ now[array].power_W | W 1 }}",
                mend="Compute it; or, if it is a definition or your own choice, give it and "
                "its reason under [given]",
            )
    used = {plain(found) for text, _ in texts for _, found in typed_numbers(text, ())}
    for quantity in given:
        if plain(quantity) not in used:
            report.add(
                ("given", quantity),
                f"'{quantity}' is given but stands nowhere in the text",
                expected="only quantities that the text states",
                mend="Delete the line",
            )


def refuse_computed(texts: Iterable[tuple[str, KeyPath]], report: Report) -> None:
    """Note computed numbers and warrants in texts that are shown as they are written."""
    for text, path in texts:
        key = next(one for one in reversed(path) if isinstance(one, str))
        if key in AS_WRITTEN and "{{" in text:
            report.add(
                path,
                f"'{key}' is shown as it is written, and computes nothing",
                expected="words alone",
                mend="Say it in the lesson's text, where a number can stand",
            )


def shown_values(values: Mapping[str, Any], path: KeyPath = ()) -> Iterator[tuple[str, KeyPath]]:
    """The values of the front matter that people read, with their key paths."""
    for key, value in values.items():
        here = (*path, key)
        several = value if isinstance(value, list) else [value]
        for number, one in enumerate(several):
            place = (*here, number) if isinstance(value, list) else here
            if isinstance(one, str) and key in SHOWN:
                yield one, place
            elif isinstance(one, dict) and key != "scenario":
                yield from shown_values(one, place)

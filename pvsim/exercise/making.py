"""One case of an exercise at work: its table with what was drawn, read strictly, changed and solved."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from pvsim.array import change
from pvsim.array.limits import MAX_MODULES_PER_STRING
from pvsim.array.scenario import Scenario
from pvsim.course.lesson.changes import apply_all, read_changes
from pvsim.course.lesson.lesson import NumberQuestion, Question
from pvsim.course.lesson.questions import read_question
from pvsim.course.number.evaluation import Readings, check_paths, dimension_of, parse_number, value_of
from pvsim.course.number.expression import Expression, parse_expression, paths
from pvsim.course.number.solved_scenario import solved
from pvsim.course.number.units import UNITS, unit_meant
from pvsim.course.table import KeyPath, Report, Table
from pvsim.course.text.text_check import check_text, computed
from pvsim.errors import PvsimError, nearest
from pvsim.exercise.asked import item_of
from pvsim.exercise.draw import MARKED, Draw, Values, put_into, put_into_text
from pvsim.exercise.item import (
    MOST_DECIMALS,
    MOST_POINTS,
    Band,
    ChoiceItem,
    Item,
    ItemChoice,
    ItemReading,
    Misconception,
)
from pvsim.exercise.posed import Posed, asked_of
from pvsim.exercise.wording import filled
from pvsim.field.kit import KIT

__all__ = ["METERS", "TEXTS", "Making"]

METERS = {one.key: one for one in KIT}
TEXTS = ("stem", "solution", "feedback", "idea", "text", "ask")  # for people; all else is for the solver
MOST_READINGS = 6

_QUESTION = ("answer", "unit", "tolerance", "tolerance_percent", "mistake", "choice")
_NAME = re.compile(r"[A-Za-z]\w{0,30}")


class Making:
    """One exercise of a file, made with one set of drawn values; problems go to the report."""

    def __init__(self, name: str, language: str, at: int, draws: tuple[Draw, ...], report: Report) -> None:
        self.name, self.language, self.draws, self.report = name, language, draws, report
        self.path: KeyPath = ("exercise", at)
        self.posed: Posed | None = None  # once an item is made: where it is asked

    def item(self, raw: Mapping[str, Any], drawn: Values, scenario: Scenario) -> Item | None:
        """The item; None where anything is wrong.

        Parameters
        ----------
        raw : mapping
            The exercise's table as parsed.
        drawn : mapping
            Values by the names of its draws.
        scenario : Scenario
            That it begins with.

        Raises
        ------
        PvsimError
            Where it cannot be gone on with.
        """
        told = len(self.report.problems)
        values = {key: self._put(one, drawn, key) for key, one in raw.items() if key != "draw"}
        asked = {key: values.pop(key) for key in _QUESTION if key in values}
        table = Table(values, self.path, self.report)
        table.text("id"), table.text("scenario")  # which are read with the file
        start = self._changed(self._set_up(table, scenario), table, "start")
        end = self._changed(start, table, "change")
        before, after = solved(start), solved(end)
        then, at_first = Readings(after, before), Readings(before, before)
        points = table.number("points", least=0.0, most=MOST_POINTS, default=1.0)
        decimals = table.whole("decimals", 0, least=0, most=MOST_DECIMALS) if table.has("decimals") else None
        unit_needed = table.flag("unit_needed")
        bands = self._bands(table)
        readings = self._readings(table, then)
        question = self._question(asked, readings, end)
        stem = self._stem(table, start, at_first, question)
        solution = self._words(table, "solution", end, then) if table.has("solution") else ""
        table.close()
        if len(self.report.problems) > told:
            return None
        item = item_of(
            question, then, at_first, self.name, stem, self.language, points=points, solution=solution
        )
        if isinstance(item, ChoiceItem):
            item = replace(item, choices=self._weighed(item.choices, asked))
        else:
            item = replace(
                item,
                bands=bands,
                decimals=item.decimals if decimals is None else decimals,
                unit_needed=unit_needed,
                misconceptions=self._partly(item.misconceptions, asked),
                readings=tuple(one for one, _there in readings.values()),
                formula=asked["answer"] if readings else "",
            )
        self.posed = Posed(item=item, start=start, finish=end, focus=asked_of(question, then.now))
        return item

    def _put(self, part: Any, drawn: Values, key: str) -> Any:
        """A part with what was drawn: in texts for people with units, elsewhere in SI units."""
        if isinstance(part, dict):
            return {name: self._put(one, drawn, name) for name, one in part.items()}
        if isinstance(part, list):
            return [self._put(one, drawn, key) for one in part]
        if key in TEXTS and isinstance(part, str):
            return put_into_text(part, self.draws, drawn, self.language)
        return put_into(part, self.draws, drawn)

    def _set_up(self, table: Table, scenario: Scenario) -> Scenario:
        """The scenario with as many modules in each string, of the type, that the exercise says."""
        for key in ("modules", "module_type"):
            if not table.has(key):
                continue
            try:
                if key == "modules":
                    count = table.whole(key, least=1, most=MAX_MODULES_PER_STRING)
                    scenario = change.set_string_length(scenario, count)
                else:
                    scenario = change.set_module_type(scenario, table.text(key))
            except PvsimError as error:
                self.report.take_over((*self.path, key), error)
        return scenario

    def _changed(self, scenario: Scenario, table: Table, key: str) -> Scenario:
        changes = read_changes(table, key) if table.has(key) else ()
        try:
            return apply_all(scenario, changes)
        except PvsimError as error:
            self.report.take_over((*self.path, key), error)
            return scenario

    def _bands(self, table: Table) -> tuple[Band, ...]:
        found: list[Band] = []
        for one in table.tables("band"):
            tolerance = one.number("tolerance", least=0.0, most=1e6)
            found.append(Band(tolerance=tolerance, share=one.number("share", least=0.0, most=1.0)))
            one.close()
        return tuple(found)

    def _readings(self, table: Table, then: Readings) -> dict[str, tuple[ItemReading, str]]:
        """What the student reads, by name, each with the expression of what is there."""
        found: dict[str, tuple[ItemReading, str]] = {}
        for one in table.tables("reading")[:MOST_READINGS]:
            name, text = one.text("name", longest=31), one.text("value", longest=100)
            if not _NAME.fullmatch(name) or name in found or name in {draw.name for draw in self.draws}:
                one.refuse("name", f"'{name}' names no reading", expected="letters, and a name of its own")
            unit = UNITS[one.word("unit", tuple(UNITS))]
            expression = self._expression(one, text, then)
            if dimension_of(expression) not in (None, unit.dimension):
                one.refuse("unit", f"'{text}' is nothing in {unit.name}", expected="the unit of what is read")
            meter = one.word("meter", tuple(METERS)) if one.has("meter") else ""
            limit = one.number("limit", least=0.0, most=1e6, default=0.0)
            of_meter = unit_meant(METERS[meter].unit) if meter else unit
            if of_meter is None or of_meter.dimension != unit.dimension or not (meter or limit > 0.0):
                one.refuse(
                    "meter",
                    f"nothing says how far the reading '{name}' may be off",
                    expected="a meter that measures in this unit, or a limit above 0",
                    mend="Known: " + ", ".join(METERS),
                )
            reading = ItemReading(
                name=name,
                ask=one.text("ask", longest=200),
                unit=unit,
                value=value_of(expression, then) / unit.size,
                meter=meter,
                limit=limit,
            )
            found[name] = reading, text
            one.close()
        return found

    def _expression(self, table: Table, text: str, then: Readings) -> Expression:
        try:
            found = parse_expression(text)
            check_paths(paths(found), then.now.scenario)
        except PvsimError as error:
            table.report.take_over((*table.path, "value"), error)
            return parse_expression("0")
        return found

    def _question(
        self, asked: Mapping[str, Any], readings: Mapping[str, tuple[ItemReading, str]], scenario: Scenario
    ) -> Question:
        """The question as lessons have it; a reading stands in it as what is there."""
        self._check_formulas(asked, readings)
        there = {name: f"({text})" for name, (_reading, text) in readings.items()}
        values = {key: _without_share(one) for key, one in asked.items()}
        values = _replaced(values, there)
        for key in ("answer", "mistake"):
            for name in MARKED.findall(str(values.get(key, ""))):
                self.report.add(
                    (*self.path, key),
                    f"'${name}' is neither drawn nor read",
                    expected="a name under [exercise.draw] or of an [[exercise.reading]]",
                    mend=nearest(name, [one.name for one in self.draws] + [*readings]),
                )
        return read_question(Table(values, self.path, self.report), scenario, by_solver=False)

    def _check_formulas(self, asked: Mapping[str, Any], readings: Mapping[str, object]) -> None:
        """What is computed from a student's readings is computed from nothing else of the array."""
        mistakes = enumerate(_listed(asked.get("mistake")))
        formulas: list[tuple[KeyPath, str]] = [(("answer",), str(asked.get("answer")))] if readings else []
        formulas += [(("mistake", at, "value"), str(one.get("value"))) for at, one in mistakes]
        for path, text in formulas:
            if "[" in text and (MARKED.search(text) or path == ("answer",)):
                self.report.add(
                    (*self.path, *path),
                    "readings and quantities of the array stand in one formula",
                    expected="readings and numbers alone, such as $U * $I",
                    mend="Make a reading of the quantity, or write its number",
                )

    def _stem(self, table: Table, scenario: Scenario, readings: Readings, question: Question) -> str:
        """What is asked; what it must not tell is refused."""
        found = self._words(table, "stem", scenario, readings)
        answer = question.answer if isinstance(question, NumberQuestion) else None
        for offset, inside in computed(table.text("stem", longest=4000)):
            try:
                expression = parse_number(inside).expression
            except PvsimError:  # which has been told
                continue
            if expression == answer or any(one.when != "before" for one in paths(expression)):
                self.report.add(
                    self.report.line((*self.path, "stem")) + offset,
                    "the stem tells what comes of the change, or the answer itself",
                    expected="other numbers, of what is there before it, each written before[...]",
                    mend="Say it in the solution",
                )
        return found

    def _words(self, table: Table, key: str, scenario: Scenario, readings: Readings) -> str:
        text = table.text(key, longest=4000)
        check_text(text, self.report.line((*self.path, key)), scenario, self.report)
        for name in MARKED.findall(text):
            table.refuse(
                key,
                f"nothing is drawn for '${name}'",
                expected="a name under [exercise.draw]",
                mend=nearest(name, [one.name for one in self.draws]),
            )
        return filled(text, readings, self.language)

    def _weighed(self, choices: tuple[ItemChoice, ...], asked: Mapping[str, Any]) -> tuple[ItemChoice, ...]:
        shares = self._shares(asked, "choice", -1.0)
        return tuple(
            one if one.share == 1.0 or at not in shares else replace(one, share=shares[at])
            for at, one in enumerate(choices)
        )

    def _partly(
        self, wrong: tuple[Misconception, ...], asked: Mapping[str, Any]
    ) -> tuple[Misconception, ...]:
        """The mistakes with what they are worth, and how they come of a student's own readings."""
        shares = self._shares(asked, "mistake", 0.0)
        by_idea = {
            one.get("idea"): (shares.get(at, 0.0), str(one.get("value")))
            for at, one in enumerate(_listed(asked.get("mistake")))
        }
        found: list[Misconception] = []
        for one in wrong:
            share, text = by_idea.get(one.idea, (0.0, ""))
            found.append(replace(one, share=share, formula=text if MARKED.search(text) else ""))
        return tuple(found)

    def _shares(self, asked: Mapping[str, Any], key: str, least: float) -> dict[int, float]:
        """The shares that entries of a list say, by their place."""
        return {
            at: Table(one, (*self.path, key, at), self.report).number("share", least=least, most=0.999)
            for at, one in enumerate(_listed(asked.get(key)))
            if "share" in one
        }


def _listed(part: Any) -> list[dict[str, Any]]:
    return [one for one in (part if isinstance(part, list) else [part]) if isinstance(one, dict)]


def _without_share(part: Any) -> Any:
    if isinstance(part, list):
        return [_without_share(one) for one in part]
    return {key: one for key, one in part.items() if key != "share"} if isinstance(part, dict) else part


def _replaced(part: Any, there: Mapping[str, str]) -> Any:
    if isinstance(part, dict):
        return {key: _replaced(one, there) for key, one in part.items()}
    if isinstance(part, list):
        return [_replaced(one, there) for one in part]
    return MARKED.sub(lambda m: there.get(m[1], m[0]), part) if isinstance(part, str) else part

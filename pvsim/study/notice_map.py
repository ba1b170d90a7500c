"""The map of a study: which instrument would notice what, in a block for each size of the array.

Its columns are the study's verdicts, its rows the values of the last axis that is neither a place nor part
of the set-up, its blocks the combinations of all other axes. Cases that differ by their seed alone are put
together: a cell has the middle one of their verdicts, the lower of two.
"""

from __future__ import annotations

from collections import Counter
from math import isfinite

from pvsim.array.fault_kind import FAULT_KINDS
from pvsim.array.place import Level, Place, describe_place, level_of, parse_place
from pvsim.errors import StudyError
from pvsim.field.meter import COVERAGE
from pvsim.field.meter_words import against_words, meter_words
from pvsim.field.notice import NOTICED
from pvsim.files.figure.matrix import Block, Matrix, Sign
from pvsim.files.provenance import one_line, provenance
from pvsim.numbers import format_setting
from pvsim.study.axis import Axis
from pvsim.study.column import Column, place_words
from pvsim.study.metered import VERDICTS, Metered
from pvsim.study.places import Every
from pvsim.study.study import Study
from pvsim.study.table import StudyTable
from pvsim.study.variation import Value
from pvsim.words import _, ngettext

__all__ = ["check_map", "notice_map"]

_SEED = "scatter_seed"
_PROBLEM = "problem"


def check_map(study: Study) -> None:
    """Refuse a study that has no map, before long work is done for it.

    Raises
    ------
    StudyError
    """
    if not _verdicts(study):
        raise StudyError(
            f"the study '{study.title[:60]}' has no verdict of an instrument to draw",
            expected="columns such as neighbour[string of module].current.verdict",
            mend="Write some, or leave --figure out",
        )
    _row_axis(study)


def notice_map(table: StudyTable) -> Matrix:
    """Draw up the map.

    Raises
    ------
    StudyError
        If the study has no verdicts, nothing to make rows of, or no case was done.
    """
    study = table.study
    check_map(study)
    if not len(table):
        raise StudyError(
            "the table of the study has no rows",
            expected="at least one case done",
            mend="Let it run longer",
        )
    columns, rows_at = _verdicts(study), _row_axis(study)
    apart = [
        k
        for k, axis in enumerate(study.axes)
        if k != rows_at and axis.vary != _SEED and len({case[k] for case in table.cases}) > 1
    ]
    rows = list(dict.fromkeys(case[rows_at] for case in table.cases))
    blocks = list(dict.fromkeys(tuple(case[k] for k in apart) for case in table.cases))
    found: dict[tuple[Value, tuple[Value, ...], str], list[str]] = {}
    for number, case in enumerate(table.cases):
        for column in columns:
            key = _key(float(table[column.name][number]), table.problems[number])
            found.setdefault((case[rows_at], tuple(case[k] for k in apart), column.name), []).append(key)
    cells = {
        block: tuple(
            tuple(_middle(found.get((row, block, column.name), [])) for column in columns) for row in rows
        )
        for block in blocks
    }
    axis = study.axes[rows_at]
    version, scenario, *limits = provenance(study.base.title)
    seeds = {case[k] for case in table.cases for k, one in enumerate(study.axes) if one.vary == _SEED}
    said = _said(cells[blocks[-1]], _block_name(study, apart, blocks[-1]))
    notes = [
        _("Typical meters, none of any maker; verdicts with 95 % coverage (k = {k}).").format(
            k=format_setting(COVERAGE)
        )
    ]
    if len(seeds) > 1:
        notes.append(
            _("Each cell is the middle one of {count} arrays drawn from seeds.").format(count=len(seeds))
        )
    return Matrix(
        heading=one_line(study.title),
        said=said,
        rows=tuple(_row_name(axis, row) for row in rows),
        columns=tuple(_column_name(study, column) for column in columns),
        blocks=tuple(Block(name=_block_name(study, apart, one), cells=cells[one]) for one in blocks),
        signs=_signs(bool(table.failed)),
        notes=(*notes, f"{version}. {scenario}", *limits),
        title=one_line(study.title),
        description=" ".join(
            f"{_block_name(study, apart, one)}: {_said(cells[one], '')}" for one in blocks
        ),
    )


def _verdicts(study: Study) -> list[Column]:
    return [
        one
        for one in study.columns
        if isinstance(one.expression, Metered) and one.expression.number == "verdict"
    ]


def _row_axis(study: Study) -> int:
    for number in reversed(range(len(study.axes))):
        axis = study.axes[number]
        if not axis.setup and axis.vary not in ("place", _SEED):
            return number
    raise StudyError(
        f"the study '{study.title[:60]}' changes nothing that an instrument could notice",
        expected="an axis that is no place and no part of the set-up, such as vary = 'fault'",
        mend="Add one, or leave --figure out",
    )


def _key(verdict: float, problem: str) -> str:
    """The sign of one case; none where nothing was to be read, such as a string without a neighbour."""
    if isfinite(verdict):
        return VERDICTS[int(verdict)]
    return _PROBLEM if problem else ""


def _middle(keys: list[str]) -> str:
    """The middle one of several verdicts, the lower of two; what is most where some are none."""
    told = sorted((key for key in keys if key in VERDICTS), key=lambda key: VERDICTS.index(key))
    if told and 2 * len(told) >= len(keys):
        return told[(len(told) - 1) // 2]
    return Counter(keys).most_common(1)[0][0] if keys else ""


def _signs(problems: bool) -> dict[str, Sign]:
    signs = {
        "changed": Sign(text=_(NOTICED["changed"]), role="current", mark="dot"),
        "changed-unless-meter-errs": Sign(
            text=_(NOTICED["changed-unless-meter-errs"]), role="middle", mark="ring", hatched=True
        ),
        "cannot-be-told": Sign(text=_(NOTICED["cannot-be-told"]), role="faint", mark="?"),
        "unchanged": Sign(text=_(NOTICED["unchanged"]), role="", mark="–"),
    }
    if problems:
        signs[_PROBLEM] = Sign(text=_("cannot be, or be read there"), role="", mark="×")
    return signs


def _said(cells: tuple[tuple[str, ...], ...], where: str) -> str:
    """How many of the rows some instrument would notice."""
    noticed = sum("changed" in row for row in cells)
    said = ngettext(
        "{noticed} of {rows} change is noticed by one of these instruments or more",
        "{noticed} of {rows} changes are noticed by one of these instruments or more",
        len(cells),
    ).format(noticed=noticed, rows=len(cells))
    return f"{where}: {said}." if where else f"{said}."


def _row_name(axis: Axis, value: Value) -> str:
    if axis.vary == "fault":
        return _(FAULT_KINDS[str(value)].title)
    return _value_name(axis, value)


def _value_name(axis: Axis, value: Value) -> str:
    if isinstance(value, Place):
        return describe_place(value)
    if isinstance(value, str):
        return value
    if axis.vary == "strings":
        return ngettext("{count} string", "{count} strings", int(value)).format(count=int(value))
    if axis.vary == "modules":
        return ngettext("of {count} module", "of {count} modules", int(value)).format(count=int(value))
    return f"{axis.name} {format_setting(value)}"


def _block_name(study: Study, apart: list[int], values: tuple[Value, ...]) -> str:
    return " ".join(_value_name(study.axes[k], value) for k, value in zip(apart, values, strict=True))


def _column_name(study: Study, column: Column) -> str:
    """The instrument, where it is put, and what it is compared with."""
    found = column.expression
    assert isinstance(found, Metered)
    words: dict[Level, str] = {
        "array": _("at the array"), "string": _("at the string"), "module": _("at the module")
    }
    level, name = place_words(found.place)
    axis = next((one for one in study.axes if one.vary == "place" and one.name == name), None)
    if axis is not None:
        values = axis.values
        own = values.level if isinstance(values, Every) else level_of(values[0])  # type: ignore[arg-type]
        where = words[level or own]
    elif found.place == "array":
        where = words["array"]
    else:
        where = _("at {place}").format(place=describe_place(parse_place(found.place)))
    return _("{meter}, {where}, {against}").format(
        meter=meter_words(found.what), where=where, against=against_words(beside=found.against == "neighbour")
    )

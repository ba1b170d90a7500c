"""A study as one TOML file that people can read, write and send."""

from __future__ import annotations

import os
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pvsim
from pvsim.array.fault_kind import FAULT_KINDS
from pvsim.array.place import Place, format_place, parse_place
from pvsim.array.scenario import Scenario
from pvsim.course.folder.course_reader import find_scenario
from pvsim.errors import FileError, PvsimError
from pvsim.files.document import document_of
from pvsim.files.provenance import MODEL_LIMITS
from pvsim.files.scenario_file import scenario_of
from pvsim.files.source import Source, check_format, parse_toml, read_source, where
from pvsim.files.table import Table
from pvsim.files.toml_text import write_toml
from pvsim.study.axis import FAULTS_ALONE, MAX_VALUES, Axis
from pvsim.study.column import Column
from pvsim.study.places import Every, format_every, parse_every
from pvsim.study.study import MAX_AXES, MAX_COLUMNS, Study, check_axis, check_named
from pvsim.study.variation import VARIATIONS, Value

STUDY_FORMAT = 1
EVERY_FAULT = "every kind"

_TOP = ("format", "title", "note", "scenario", "axes", "columns")
_AXIS = ("name", "vary", "values", "at", "fault", "other", "shadow", "setup")
_RANGE = ("from", "to", "steps")


def open_study(path: str | os.PathLike[str]) -> Study:
    """Read a study file; the scenario it names may lie beside it.

    Raises
    ------
    FileError
        As `read_study`, and if there is no such file.
    """
    source = read_source(path)
    return read_study(source.text, source.name, folder=Path(path).parent)


def read_study(text: str, name: str = "the study", *, folder: Path | None = None) -> Study:
    """Read a study from the text of a TOML file.

    Parameters
    ----------
    text : str
        What stands in the file. It is not trusted: its size is bounded and nothing of it is run.
    name : str
        What messages call the file.
    folder : Path, optional
        Where a scenario it names may lie; those that come with pvsim are known anyway.

    Raises
    ------
    FileError
        If it is not TOML, has an unknown key or a value of the wrong kind, unit or range, or
        does not fit its scenario; the message says file, line, key and how to mend it.
    """
    source = Source(name=name, text=text)
    return study_of(parse_toml(source), source, folder)


def study_of(values: Mapping[str, Any], source: Source, folder: Path | None = None) -> Study:
    """Build the study from parsed values; see `read_study`."""
    top = Table(source, (), values, _TOP)
    check_format(source, values, STUDY_FORMAT)
    title, note = top.text("title"), top.text("note", "")
    base = _base(top, folder)
    axes: list[Axis] = []
    for table in top.tables("axes", _AXIS, most=MAX_AXES, required=True):
        axis = _axis(table)
        with table.placed():
            check_axis(axis, axes, base)
        axes.append(axis)
    columns: list[Column] = []
    found = top.named("columns", most=MAX_COLUMNS, mend="Make two studies of it")
    for key in found.values:
        with found.placed(key):
            column = Column(key, found.text(key))
            check_named(column, axes, columns, base)
        columns.append(column)
    with top.placed():
        return Study(title=title, note=note, base=base, axes=tuple(axes), columns=tuple(columns))


def _base(top: Table, folder: Path | None) -> Scenario:
    given = top.values.get("scenario")
    if isinstance(given, Mapping):
        return scenario_of(given, top.source, ("scenario",))
    name = top.text("scenario")
    try:
        return find_scenario(name, folder)
    except PvsimError as error:
        place = where(top.source, ("scenario",))
        raise FileError(f"{place}: {error.wrong}", expected=error.expected, mend=error.mend) from error


def _axis(table: Table) -> Axis:
    vary = table.word("vary", tuple(VARIATIONS))
    more: dict[str, Any] = table.fields(Axis, [key for key in ("name", "setup") if key in table])
    if "fault" in table:
        more["fault"] = table.word("fault", tuple(FAULT_KINDS))
    if "other" in table:
        more["other"] = table.convert("other", parse_place)
    if "shadow" in table:
        more["shadow"] = table.whole("shadow", least=1, most=MAX_VALUES)
    if "at" in table:
        more["at"] = _at(table)
    values = _values(table, vary)
    with table.placed():
        return Axis(vary=vary, values=values, **more)


def _at(table: Table) -> Place | str:
    """A place; what is none may be the name of an axis, which the axis looks up."""
    text = table.text("at")
    try:
        return parse_place(text)
    except PvsimError:
        return text


def _values(table: Table, vary: str) -> tuple[Value, ...] | Every:
    kind = VARIATIONS[vary].values
    given = table.values.get("values")
    if kind == "places" and isinstance(given, str):
        return table.convert("values", parse_every)
    if kind == "words":
        if vary == "fault" and given == EVERY_FAULT:
            return FAULTS_ALONE if "other" not in table else VARIATIONS["fault"].known
        return tuple(table.texts("values", most=MAX_VALUES, required=True))
    if kind == "numbers" and isinstance(given, Mapping):
        return _steps(table.table("values", _RANGE))
    entries = table.entries("values", most=MAX_VALUES, required=True)
    if kind == "numbers":
        return tuple(entries)
    places: list[Place] = []
    for position, text in enumerate(table.texts("values", most=MAX_VALUES, required=True)):
        with table.placed("values", position):
            places.append(parse_place(text))
    return tuple(places)


def _steps(table: Table) -> tuple[float, ...]:
    """Equal steps from one number to another, both included."""
    first, last = table.number("from"), table.number("to")
    steps = table.whole("steps", least=1, most=MAX_VALUES - 1)
    return (*(first + (last - first) * (k / steps) for k in range(steps)), last)


def write_study(study: Study) -> str:
    """Write a study as TOML; `read_study` gives back an equal one.

    Raises
    ------
    FileError
        If a text in it cannot stand in a file.
    """
    comment = (
        f"A pvsim study, written by pvsim {pvsim.__version__}: a case for every combination of the axes.",
        *MODEL_LIMITS,
    )
    document = {
        "format": STUDY_FORMAT,
        "title": study.title,
        "note": study.note,
        "axes": [_axis_values(axis) for axis in study.axes],
        "columns": {column.name: column.text for column in study.columns},
        "scenario": document_of(study.base),
    }
    return write_toml(document, comment="\n".join(comment))


def _axis_values(axis: Axis) -> dict[str, Any]:
    values: dict[str, Any] = {"name": axis.name, "vary": axis.vary, "values": _plain(axis.values)}
    if axis.at is not None:
        values["at"] = _plain(axis.at)
    if axis.fault:
        values["fault"] = axis.fault
    if axis.other is not None:
        values["other"] = format_place(axis.other)
    if axis.shadow != 1:
        values["shadow"] = axis.shadow
    if axis.setup:
        values["setup"] = True
    return values


def _plain(value: Any) -> Any:
    if isinstance(value, Every):
        return format_every(value)
    if isinstance(value, tuple):
        return [_plain(one) for one in value]
    return format_place(value) if isinstance(value, Place) else value



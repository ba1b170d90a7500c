"""How values draw themselves in a notebook.

A notebook asks a value for `_repr_svg_` or `_repr_html_`, and `pvsim.prompt.drawn` fetches this file
when the first one is asked, so a value carries no drawing and loads nothing before it is shown.
"""

from __future__ import annotations

from dataclasses import asdict
from functools import singledispatch
from html import escape

from pvsim.array.losses import loss_account
from pvsim.array.scenario import Scenario
from pvsim.array.solution import ArraySolution
from pvsim.circuit.solution import Characteristic
from pvsim.files.curve import curve_of
from pvsim.files.figure.characteristic import draw_curves
from pvsim.files.figure.roof import draw_roof
from pvsim.files.figure.svg import write_svg
from pvsim.numbers import significant
from pvsim.study.table import StudyTable

MOST_FIGURES = 4
MOST_ROWS = 20


@singledispatch
def draw(value: object) -> str:
    """A value as SVG or HTML.

    Raises
    ------
    TypeError
        If nothing here draws values of its type.
    """
    raise TypeError(f"nothing draws a {type(value).__name__}")


@draw.register
def _characteristic(value: Characteristic) -> str:
    """A characteristic as SVG."""
    return write_svg(draw_curves([curve_of(value)], title="I-V and P-V characteristic"))


@draw.register
def _scenario(value: Scenario) -> str:
    """A scenario's roof as SVG, each cell by its light."""
    return write_svg(draw_roof(value))


@draw.register
def _solution(value: ArraySolution) -> str:
    """A solved array as HTML: the roof by power, each tracker's curve, the loss account."""
    title = value.scenario.title
    parts = [write_svg(draw_roof(value.scenario, value))]
    for tracker in value.trackers[:MOST_FIGURES]:
        label = "strings " + ", ".join(map(str, tracker.strings))
        parts.append(write_svg(draw_curves([curve_of(tracker.characteristic, label)], title=title)))
    if len(value.trackers) > MOST_FIGURES:
        parts.append(f"<p>and {len(value.trackers) - MOST_FIGURES} more trackers</p>")
    rows = "".join(
        f"<tr><th scope='row'>{escape(name.removesuffix('_W').replace('_', ' '))}</th>"
        f"<td>{significant(watts)} W</td></tr>"
        for name, watts in asdict(loss_account(value)).items()
    )
    parts.append(f"<table><caption>Where the power goes</caption>{rows}</table>")
    return "\n".join(parts)


@draw.register
def _table(value: StudyTable) -> str:
    """The table of a study as HTML: its head, and as many rows as fit a page."""

    def cell(one: object) -> str:
        known = isinstance(one, float)
        return escape(str(one)) if not known else "" if one != one else significant(one, 5)  # type: ignore[arg-type]

    head = "".join(f"<th scope='col'>{escape(name)}</th>" for name in value.names)
    columns = [value[name][:MOST_ROWS].tolist() for name in value.names]
    fields = ["".join(f"<td>{cell(one)}</td>" for one in row) for row in zip(*columns, strict=True)]
    rows = "".join(f"<tr>{row}</tr>" for row in fields)
    more = f", the first {MOST_ROWS} shown" if len(value) > MOST_ROWS else ""
    done = f"{len(value):,} of {value.planned:,} cases, {value.failed:,} with a problem{more}"
    caption = f"{escape(value.study.title)}: {done}"
    return f"<table><caption>{caption}</caption><thead><tr>{head}</tr></thead><tbody>{rows}</tbody></table>"
